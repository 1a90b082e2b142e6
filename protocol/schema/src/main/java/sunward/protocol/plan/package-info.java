/**
 * Plan files: text in, checked objects out, and back.
 *
 * <p>Purpose: one YAML file with three roots (plan, calibration, scene) becomes a {@code PlanFile} with every default
 * filled in, or one sentence that says what is wrong with it. In and out: text and Protocol Buffers objects; no files.
 * Units: in the field names. Assumptions: {@code default-plan.yaml} is the only source of defaults. Errors:
 * {@link sunward.protocol.plan.PlanException}, whose message is the sentence.
 */
package sunward.protocol.plan;
