package sunward.desk;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.lang.ArchRule;
import java.time.LocalDateTime;
import java.time.ZoneId;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The walls between modules, and what no main code may use. */
class ArchitectureTest {
    private static final String SCHEMA = "sunward.protocol.schema..";
    private static final String PLAN = "sunward.protocol.plan..";
    private static final String PROTOBUF = "com.google.protobuf..";
    private static final String FIRMWARE = "sunward.firmware..";
    private static final String SIMULATOR = "sunward.simulator..";
    private static final String PROFILES = "sunward.profiles..";
    private static final String PLANNING = "sunward.planning..";
    private static final String DESK = "sunward.desk..";
    private static final String[] WIRE = {
        "sunward.protocol.message..",
        "sunward.protocol.bits..",
        "sunward.protocol.seal..",
        "sunward.protocol.spectra..",
        "sunward.protocol.trig..",
        "sunward.protocol.repair..",
        "sunward.protocol.order.."
    };

    private static JavaClasses classes;

    @BeforeAll
    static void read() {
        classes = new ClassFileImporter()
                .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
                .importPackages("sunward");
        for (String root : List.of("protocol.message", "protocol.plan", "firmware", "simulator", "desk")) {
            assertTrue(
                    classes.stream().anyMatch(type -> type.getPackageName().equals("sunward." + root)),
                    root + " was read");
        }
    }

    private static void check(ArchRule rule) {
        rule.allowEmptyShould(true).check(classes);
    }

    @Test
    void everyPackageIsBehindAKnownWall() {
        check(classes()
                .that()
                .resideInAPackage("sunward.protocol..")
                .should()
                .resideInAnyPackage(join(WIRE, SCHEMA, PLAN)));
    }

    @Test
    void wireSeesNothing() {
        check(classes()
                .that()
                .resideInAnyPackage(WIRE)
                .should()
                .onlyDependOnClassesThat()
                .resideInAnyPackage(join(WIRE, "java.lang..", "java.util..", "java.nio..")));
        check(noClasses()
                .that()
                .resideInAnyPackage(WIRE)
                .should()
                .dependOnClassesThat()
                .resideInAPackage("javax.crypto.."));
    }

    @Test
    void firmwareSeesOnlyWire() {
        check(classes()
                .that()
                .resideInAPackage(FIRMWARE)
                .should()
                .onlyDependOnClassesThat()
                .resideInAnyPackage(join(WIRE, FIRMWARE, "java.lang..", "java.util..")));
        check(noClasses()
                .that()
                .resideInAPackage(FIRMWARE)
                .should()
                .dependOnClassesThat()
                .resideInAnyPackage(SIMULATOR, PROTOBUF, SCHEMA, PLAN, "javax.crypto..", "java.time..", "java.io.."));
    }

    @Test
    void simulatorAndProfilesNeverMeet() {
        check(noClasses()
                .that()
                .resideInAPackage(PROFILES)
                .should()
                .dependOnClassesThat()
                .resideInAnyPackage(SIMULATOR, FIRMWARE, PLANNING, "sunward.watch..", DESK));
        check(noClasses()
                .that()
                .resideInAPackage(SIMULATOR)
                .should()
                .dependOnClassesThat()
                .resideInAnyPackage(PROFILES, PLANNING, "sunward.watch..", DESK));
    }

    @Test
    void arrowsPointOneWay() {
        check(noClasses()
                .that()
                .resideInAPackage("sunward.protocol..")
                .should()
                .dependOnClassesThat()
                .resideInAnyPackage(FIRMWARE, SIMULATOR, PROFILES, PLANNING, DESK));
        check(noClasses()
                .that()
                .resideInAPackage(PLANNING)
                .should()
                .dependOnClassesThat()
                .resideInAPackage(DESK));
    }

    @Test
    void noPackageCircles() {
        check(slices().matching("sunward.(**)").should().beFreeOfCycles());
    }

    @Test
    void noPackageIsADrawerForEverything() {
        check(noClasses()
                .should()
                .resideInAnyPackage("..util..", "..utils..", "..common..", "..helpers..", "..misc.."));
    }

    @Test
    void noLocalTimeNoUnseededChance() {
        check(noClasses().should().dependOnClassesThat().belongToAnyOf(LocalDateTime.class, Random.class));
        check(noClasses().should().callMethod(Math.class, "random"));
        check(noClasses().should().callMethod(ZoneId.class, "systemDefault"));
        check(noClasses()
                .that()
                .doNotHaveFullyQualifiedName("sunward.desk.Console")
                .should()
                .callMethod(System.class, "getenv", String.class));
        check(noClasses().should().callMethod(System.class, "getenv"));
    }

    private static String[] join(String[] some, String... more) {
        return Stream.concat(Arrays.stream(some), Arrays.stream(more)).toArray(String[]::new);
    }
}
