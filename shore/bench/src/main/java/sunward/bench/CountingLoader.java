package sunward.bench;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import org.objectweb.asm.ClassReader;
import org.objectweb.asm.ClassVisitor;
import org.objectweb.asm.ClassWriter;
import org.objectweb.asm.Handle;
import org.objectweb.asm.Label;
import org.objectweb.asm.MethodVisitor;
import org.objectweb.asm.Opcodes;
import sunward.bench.Operations.Kind;

/** Loads the project's classes anew, those that run on the float with counting put in. */
final class CountingLoader extends ClassLoader {
    CountingLoader() {
        super(CountingLoader.class.getClassLoader());
    }

    @Override
    protected Class<?> loadClass(String name, boolean resolve) throws ClassNotFoundException {
        boolean anew = name.startsWith("sunward.") && !name.startsWith("sunward.bench.Operations");
        if (!anew) {
            return super.loadClass(name, resolve);
        }
        synchronized (getClassLoadingLock(name)) {
            Class<?> loaded = findLoadedClass(name);
            if (loaded == null) {
                byte[] code = code(name);
                loaded = defineClass(name, code, 0, code.length);
            }
            return loaded;
        }
    }

    private byte[] code(String name) throws ClassNotFoundException {
        try (InputStream in = getResourceAsStream(name.replace('.', '/') + ".class")) {
            if (in == null) {
                throw new ClassNotFoundException(name);
            }
            byte[] code = in.readAllBytes();
            return onboard(name) ? counted(code) : code;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Firmware and wire code; not the schema, which shares a name with it. */
    private static boolean onboard(String name) {
        return name.startsWith("sunward.firmware.")
                || name.startsWith("sunward.protocol.")
                        && !name.startsWith("sunward.protocol.schema.")
                        && !name.startsWith("sunward.protocol.plan.");
    }

    private static byte[] counted(byte[] code) {
        ClassReader reader = new ClassReader(code);
        ClassWriter writer = new ClassWriter(reader, ClassWriter.COMPUTE_MAXS);
        reader.accept(
                new ClassVisitor(Opcodes.ASM9, writer) {
                    @Override
                    public MethodVisitor visitMethod(
                            int access, String name, String descriptor, String signature, String[] exceptions) {
                        return new Counting(super.visitMethod(access, name, descriptor, signature, exceptions));
                    }
                },
                0);
        return writer.toByteArray();
    }

    /** Puts a call at the start of every run: after a label or a jump, before the next instruction. */
    private static final class Counting extends MethodVisitor {
        private boolean begins = true;
        private int run;

        Counting(MethodVisitor to) {
            super(Opcodes.ASM9, to);
        }

        private void one(Kind kind) {
            if (begins) {
                begins = false;
                run = Operations.open();
                super.visitLdcInsn(run);
                super.visitMethodInsn(Opcodes.INVOKESTATIC, "sunward/bench/Operations", "block", "(I)V", false);
            }
            Operations.has(run, kind);
        }

        @Override
        public void visitLabel(Label label) {
            super.visitLabel(label);
            begins = true;
        }

        @Override
        public void visitInsn(int opcode) {
            one(kind(opcode));
            super.visitInsn(opcode);
        }

        @Override
        public void visitIntInsn(int opcode, int operand) {
            one(Kind.INT);
            super.visitIntInsn(opcode, operand);
        }

        @Override
        public void visitVarInsn(int opcode, int variable) {
            one(Kind.INT);
            super.visitVarInsn(opcode, variable);
        }

        @Override
        public void visitTypeInsn(int opcode, String type) {
            one(Kind.INT);
            super.visitTypeInsn(opcode, type);
        }

        @Override
        public void visitFieldInsn(int opcode, String owner, String name, String descriptor) {
            one(opcode == Opcodes.GETFIELD || opcode == Opcodes.GETSTATIC ? Kind.READ : Kind.WRITE);
            super.visitFieldInsn(opcode, owner, name, descriptor);
        }

        @Override
        public void visitMethodInsn(int opcode, String owner, String name, String descriptor, boolean isInterface) {
            one(owner.equals("java/lang/Math") ? name.equals("sqrt") ? Kind.SQUARE_ROOT : Kind.DOUBLE : Kind.CALL);
            super.visitMethodInsn(opcode, owner, name, descriptor, isInterface);
        }

        @Override
        public void visitInvokeDynamicInsn(String name, String descriptor, Handle bootstrap, Object... arguments) {
            one(Kind.CALL);
            super.visitInvokeDynamicInsn(name, descriptor, bootstrap, arguments);
        }

        @Override
        public void visitJumpInsn(int opcode, Label label) {
            one(Kind.BRANCH);
            super.visitJumpInsn(opcode, label);
            begins = true;
        }

        @Override
        public void visitLdcInsn(Object value) {
            one(Kind.INT);
            super.visitLdcInsn(value);
        }

        @Override
        public void visitIincInsn(int variable, int increment) {
            one(Kind.INT);
            super.visitIincInsn(variable, increment);
        }

        @Override
        public void visitTableSwitchInsn(int min, int max, Label other, Label... labels) {
            one(Kind.BRANCH);
            super.visitTableSwitchInsn(min, max, other, labels);
            begins = true;
        }

        @Override
        public void visitLookupSwitchInsn(Label other, int[] keys, Label[] labels) {
            one(Kind.BRANCH);
            super.visitLookupSwitchInsn(other, keys, labels);
            begins = true;
        }

        private static Kind kind(int opcode) {
            return switch (opcode) {
                case Opcodes.IALOAD,
                        Opcodes.LALOAD,
                        Opcodes.DALOAD,
                        Opcodes.FALOAD,
                        Opcodes.AALOAD,
                        Opcodes.BALOAD,
                        Opcodes.CALOAD,
                        Opcodes.SALOAD,
                        Opcodes.ARRAYLENGTH -> Kind.READ;
                case Opcodes.IASTORE,
                        Opcodes.LASTORE,
                        Opcodes.DASTORE,
                        Opcodes.FASTORE,
                        Opcodes.AASTORE,
                        Opcodes.BASTORE,
                        Opcodes.CASTORE,
                        Opcodes.SASTORE -> Kind.WRITE;
                case Opcodes.IMUL -> Kind.INT_MULTIPLY;
                case Opcodes.LMUL -> Kind.LONG_MULTIPLY;
                case Opcodes.IDIV, Opcodes.IREM -> Kind.INT_DIVIDE;
                case Opcodes.LDIV, Opcodes.LREM -> Kind.LONG_DIVIDE;
                case Opcodes.DMUL, Opcodes.FMUL -> Kind.DOUBLE_MULTIPLY;
                case Opcodes.DDIV, Opcodes.DREM, Opcodes.FDIV -> Kind.DOUBLE_DIVIDE;
                case Opcodes.DADD,
                        Opcodes.DSUB,
                        Opcodes.DNEG,
                        Opcodes.DCMPL,
                        Opcodes.DCMPG,
                        Opcodes.FADD,
                        Opcodes.FSUB,
                        Opcodes.I2D,
                        Opcodes.L2D,
                        Opcodes.D2I,
                        Opcodes.D2L -> Kind.DOUBLE;
                case Opcodes.LADD,
                        Opcodes.LSUB,
                        Opcodes.LNEG,
                        Opcodes.LSHL,
                        Opcodes.LSHR,
                        Opcodes.LUSHR,
                        Opcodes.LAND,
                        Opcodes.LOR,
                        Opcodes.LXOR,
                        Opcodes.LCMP -> Kind.LONG;
                case Opcodes.IRETURN,
                        Opcodes.LRETURN,
                        Opcodes.DRETURN,
                        Opcodes.FRETURN,
                        Opcodes.ARETURN,
                        Opcodes.RETURN -> Kind.BRANCH;
                default -> Kind.INT;
            };
        }
    }
}
