/**
 * The only place where product and truth meet.
 *
 * <p>Purpose: fly a whole dive in the simulator, decode what arrived, write the files and the report, and count how often
 * the stated intervals hold the truth. In: plan, calibration, scene, seeds. Out: a directory of files; {@code figure}
 * lines. Units: as in the products, W m-2 nm-1 sr-1, nm, m, dbar, degrees. Errors: what cannot be written ends in an
 * {@link java.io.IOException}, and nothing half made is left behind.
 */
package sunward.planning;
