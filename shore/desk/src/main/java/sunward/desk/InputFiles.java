package sunward.desk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.function.UnaryOperator;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;
import sunward.protocol.schema.Scene;
import sunward.simulator.SceneLibrary;

/** Reads files that a user names, with one clear sentence for each that cannot be used. */
final class InputFiles {
    private InputFiles() {}

    /** A plan file, or the default plan when none is named. */
    static PlanFile plan(Path path) throws IOException {
        return path == null ? PlanReader.defaults() : PlanReader.read(text(path, "plan"), path.toString());
    }

    /**
     * What flying in a scene makes of a plan file. The scene is one of the library, or that of another plan file.
     *
     * @param scene a name of the library or a path; null: the plan file's own scene
     */
    static UnaryOperator<PlanFile> scene(String scene) throws IOException {
        if (scene == null) {
            return UnaryOperator.identity();
        }
        if (SceneLibrary.names().contains(scene)) {
            return file -> SceneLibrary.over(file, scene);
        }
        if (!isFile(scene)) {
            throw new BadInput("--scene: \"" + scene + "\" is neither a scene nor a file; choose one of "
                    + String.join(", ", SceneLibrary.names()) + ", or name a plan file");
        }
        Scene other = plan(Path.of(scene)).getScene();
        return file -> file.toBuilder().setScene(other).build();
    }

    private static boolean isFile(String name) {
        try {
            return !name.isBlank() && Files.exists(Path.of(name));
        } catch (InvalidPathException e) {
            return false;
        }
    }

    /** A UTF-8 text file. */
    static String text(Path path, String what) throws IOException {
        byte[] bytes = bytes(path, what, 1_000_000);
        try {
            return StandardCharsets.UTF_8
                    .newDecoder()
                    .decode(ByteBuffer.wrap(bytes))
                    .toString();
        } catch (CharacterCodingException e) {
            throw new BadInput(path + ": not a UTF-8 text file, expected a " + what + "; give another file");
        }
    }

    /** A file of at most so many bytes. */
    static byte[] bytes(Path path, String what, int most) throws IOException {
        if (!Files.exists(path)) {
            throw new BadInput(path + ": no such file, expected a " + what + "; check the path");
        }
        if (Files.isDirectory(path)) {
            throw new BadInput(path + ": a directory, expected one " + what + " file; name the file in it");
        }
        long size = Files.size(path);
        if (size == 0) {
            throw new BadInput(path + ": the file is empty, expected a " + what + "; give another file");
        }
        if (size > most) {
            throw new BadInput(
                    path + ": " + size + " bytes, more than a " + what + " can have (" + most + "); give another file");
        }
        return Files.readAllBytes(path);
    }
}
