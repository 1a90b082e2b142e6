import { lineKey, lines, make, place, section, table } from './draw.js';

const MOST = 4;

/** Up to four dives over each other; the address holds the choice. */
export async function compare(get, rest) {
  const chosen = (rest[0] ?? '').split('+').filter(Boolean).slice(0, MOST).map(one => one.replace('-', '/'));
  const [recent, states, products] = await Promise.all([get('api/recent'),
    Promise.all(chosen.map(one => get(`api/dives/${one}`))), Promise.all(chosen.map(one => get(`api/dives/${one}/product`)))]);
  const nodes = [make('h1', {}, 'Compare dives'), choice(recent.dives, chosen)];
  const shown = chosen.map((one, index) => ({ key: one, name: name(one), state: states[index], product: products[index] }));
  const lit = shown.filter(one => one.product !== null && one.product.surface !== null);
  if (lit.length > 0) nodes.push(...spectra(lit));
  if (shown.length === 0 && recent.dives.length > 0) nodes.push(make('p', { class: 'calm' }, 'Chosen dives are drawn over each other here, with their values side by side.'));
  if (shown.length > 0) {
    const rows = [
      ['Surfaced', one => one.state?.surfaced_utc?.replace('T', ' ').replace('Z', ' UTC') ?? 'not known'],
      ['Place', one => one.state ? place(one.state.latitude_deg, one.state.longitude_deg) : 'not known'],
      ['Sun from the zenith', one => one.product?.sun_zenith_deg == null ? 'not known' : `${one.product.sun_zenith_deg.toFixed(1)}°`],
      ['Messages', one => one.state ? `${one.state.received} of ${one.state.planned === null ? 'at least ' : ''}${one.state.expected}` : 'none'],
      ['Chlorophyll near the surface, mg m⁻³', one => one.product?.cast.chlorophyll_mg_per_m3.find(value => value !== null)?.toFixed(2) ?? 'not known'],
      ...COMPARED_NM.map((nm, index) => [`Lw near ${nm} nm ± 95 %, W m⁻² nm⁻¹ sr⁻¹`, one => radiance(one.product, index)]),
      ['Departs from its rehearsal', one => one.state?.findings?.map(found => found.what).join('; ') || 'nothing known'],
    ];
    nodes.push(section('side', 'Side by side', table('The chosen dives', [
      ['', row => row[0], 'source'], ...shown.map(one => [one.name, row => row[1](one), 'source']),
    ], rows), make('p', {}, 'Look at: ', shown.flatMap((one, index) => [index === 0 ? '' : ', ', make('a', { href: `#/dive/${one.key}` }, one.name)]))));
    nodes.push(section('facts', 'What to know before use', table('Reasons of each dive', [
      ['Dive', one => one.name, true],
      ['Reasons', one => one.product === null ? 'nothing was decoded yet' : one.product.reasons.join('; '), 'long'],
    ], shown)));
  }
  const simulated = recent.dives.some(one => one.simulated && chosen.includes(`${one.float_number}/${one.dive}`));
  return { title: 'Compare dives', simulated, nodes };
}

/** Places in the budget's list of wavelengths: 412, 443, 490, 510, 555, 620 and 670 nm. */
const COMPARED_NM = [412, 443, 490, 510, 555, 620, 670];

function radiance(product, index) {
  const budget = product?.surface?.budget;
  const at = budget?.wavelength_nm.findIndex(nm => Math.abs(nm - COMPARED_NM[index]) < 6) ?? -1;
  return at < 0 || budget.lw[at] === null ? 'no value' : `${budget.lw[at].toPrecision(4)} ± ${budget.half_width_percent[at].toFixed(1)} %`;
}

function name(key) {
  const [floatNumber, dive] = key.split('/');
  return `Float ${floatNumber}, dive ${dive}`;
}

function choice(dives, chosen) {
  if (dives.length === 0) return make('p', {}, 'No dive is here yet.');
  const boxes = dives.map(one => {
    const key = `${one.float_number}/${one.dive}`;
    const box = make('input', { type: 'checkbox', value: key, checked: chosen.includes(key) ? '' : null,
      disabled: chosen.length >= MOST && !chosen.includes(key) ? '' : null });
    box.addEventListener('change', () => {
      const next = box.checked ? [...chosen, key] : chosen.filter(other => other !== key);
      location.hash = `#/compare/${next.map(other => other.replace('/', '-')).join('+')}`;
    });
    return make('label', {}, box, ` ${name(key)}`);
  });
  return make('fieldset', { class: 'choose' }, make('legend', {}, `Choose up to ${MOST} dives; the newest come first`), boxes);
}

function spectra(lit) {
  const labels = lit.map(one => one.name);
  return ['lw', 'k_lu_per_m', 'rrs_per_sr'].map(quantity => {
    const [heading, axis] = { lw: ['Water-leaving radiance', 'Lw, W m⁻² nm⁻¹ sr⁻¹'], k_lu_per_m: ['Attenuation of upwelling radiance', 'K of Lu, m⁻¹'], rrs_per_sr: ['Remote-sensing reflectance', 'Rrs, sr⁻¹'] }[quantity];
    const x = [...new Set(lit.flatMap(one => one.product.surface.wavelength_nm))].sort((a, b) => a - b);
    const series = lit.map(one => {
      const view = one.product.surface;
      const at = new Map(view.wavelength_nm.map((nm, index) => [nm, index]));
      const pick = values => x.map(nm => at.has(nm) ? values[at.get(nm)] : null);
      return { label: one.name, values: pick(view[quantity]), low: pick(view[`${quantity}_low_95`]), high: pick(view[`${quantity}_high_95`]) };
    });
    return section(`c-${quantity}`, heading, make('figure', {}, lines(heading, 'wavelength, nm', x, axis, series), lineKey(labels),
      make('figcaption', {}, 'Bands are 95 % intervals. Dives on different wavelength grids keep their own points.')));
  });
}
