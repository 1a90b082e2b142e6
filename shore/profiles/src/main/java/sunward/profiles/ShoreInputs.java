package sunward.profiles;

import sunward.protocol.schema.Calibration;
import sunward.protocol.schema.Plan;

/**
 * What shore works with beside the messages.
 *
 * @param plan the float's plan
 * @param calibration the laboratory's delivery
 * @param ancillary the day
 */
public record ShoreInputs(Plan plan, Calibration calibration, Ancillary ancillary) {}
