/** What the profile and the radiance of a dive look like. */
export function pictures(product) {
  return product ? [] : [];
}
