package sunward.desk;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import sunward.protocol.plan.PlanReader;
import sunward.protocol.schema.PlanFile;

/** Reads files that a user names, with one clear sentence for each that cannot be used. */
final class InputFiles {
    private InputFiles() {}

    /** A plan file, or the default plan when none is named. */
    static PlanFile plan(Path path) throws IOException {
        return path == null ? PlanReader.defaults() : PlanReader.read(text(path, "plan"), path.toString());
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
