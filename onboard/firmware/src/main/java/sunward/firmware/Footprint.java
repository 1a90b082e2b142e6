package sunward.firmware;

/** Is told what the firmware takes, part by part; for shore, which sizes dives with it. */
public interface Footprint {
    /** Arrays that a part keeps in RAM. */
    void ram(String part, int bytes);

    /** Flash that is set apart for a part. */
    void flash(String part, int bytes);
}
