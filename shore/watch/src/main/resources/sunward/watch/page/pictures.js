import { lines, make, section, shape, table } from './draw.js';

/** What the profile and the radiance of a dive look like. */
export function pictures(product, ramp) {
  const parts = [];
  if (product.surface !== null) parts.push(surface(product.surface));
  const heads = product.heads.filter(head => head.rows.length > 0);
  if (heads.length > 0) parts.push(profile(heads, ramp), attitude(heads));
  if (product.cast.pressure_dbar.length > 1) parts.push(cast(product.cast));
  parts.push(words(product));
  return parts;
}

function figure(id, content, caption) {
  return make('figure', { id }, content, make('figcaption', {}, caption));
}

function surface(view) {
  const x = view.wavelength_nm;
  const lacking = view.missing.filter(Boolean).length;
  return section('surface', 'What left the sea', make('div', { class: 'pair' },
    figure('f-lw', lines('Water-leaving radiance against wavelength', 'nm', x, 'Lw, W m⁻² nm⁻¹ sr⁻¹',
      [{ label: 'Lw', values: view.lw, low: view.lw_low_95, high: view.lw_high_95 }]),
    `Water-leaving radiance Lw at nadir with its 95 % interval.${lacking ? ` No value at ${lacking} of ${x.length} wavelengths.` : ''}`),
    figure('f-lu0', lines('Radiance below the surface against wavelength', 'nm', x, 'Lu(0−), W m⁻² nm⁻¹ sr⁻¹',
      [{ label: 'Lu(0−)', values: view.lu0.map(value => value > 0 ? value : null) }], { log: true }),
    'Upwelling radiance just below the surface, logarithmic.'),
    figure('f-k', lines('Attenuation against wavelength', 'nm', x, 'K of Lu, m⁻¹', [{ label: 'K', values: view.k_lu_per_m }]),
      'Attenuation of upwelling radiance near the surface.'),
    figure('f-rrs', lines('Reflectance against wavelength', 'nm', x, 'Rrs, sr⁻¹', [{ label: 'Rrs', values: view.rrs_per_sr }]),
      'Remote-sensing reflectance.')),
  table('Where the uncertainty of Lw comes from', [
    ['Wavelength, nm', one => one.wavelength_nm?.toFixed(1)],
    ['Lw, W m⁻² nm⁻¹ sr⁻¹', one => one.lw?.toPrecision(4) ?? 'no value'],
    ['Half width of the 95 % interval, %', one => one.half_width_percent?.toFixed(1)],
    ['Largest contributors', one => one.missing || one.largest.join(', '), 'long'],
  ], view.budget));
}

/** Radiance by depth and wavelength, a picture a head; the depth scale is stretched towards the surface. */
function profile(heads, ramp) {
  const values = heads.flatMap(head => head.rows.flatMap(row => row.values.filter(value => value > 0)));
  const top = Math.max(...values.slice(0, 1), ...chunks(values, Math.max));
  const bottom = Math.max(top * 1e-6, Math.min(...chunks(values, Math.min)));
  const deepest = Math.max(...heads.flatMap(head => head.rows.map(row => row.depth_m + row.half_height_m)));
  const quantity = heads.every(head => head.quantity === 'Lu') ? 'Upwelling radiance Lu, W m⁻² nm⁻¹ sr⁻¹' : `Dark-corrected ${heads[0].quantity}: there is no calibration for these messages`;
  return section('profile', 'Light from below, all the way up', make('div', { class: 'pair' }, heads.map(head =>
    figure(`f-picture-${head.name}`, picture(head, ramp, bottom, top, deepest),
      `Head ${head.name}: ${head.rows.length} bins.`))),
  make('p', { class: 'legend' }, make('span', {}, `${quantity}, from ${bottom.toPrecision(2)}`), scale(ramp), make('span', {}, `to ${top.toPrecision(2)} (logarithmic)`),
    make('span', {}, make('i', { class: 'swatch hatched' }), 'no value')));
}

function chunks(values, extreme) {
  const found = [];
  for (let at = 0; at < values.length; at += 5000) found.push(extreme(...values.slice(at, at + 5000)));
  return found;
}

function scale(ramp) {
  const strip = make('canvas', { width: 120, height: 12, 'aria-hidden': 'true' });
  const pen = strip.getContext('2d');
  for (let x = 0; x < 120; x++) { pen.fillStyle = ramp[Math.floor(x / 120 * ramp.length)]; pen.fillRect(x, 0, 1, 12); }
  return strip;
}

function picture(head, ramp, bottom, top, deepest) {
  const width = 560, height = 420, left = 58, foot = 40;
  const canvas = make('canvas', { width, height, role: 'img', tabindex: '0', 'aria-label': `${head.quantity} of head ${head.name} by depth and wavelength` });
  const readout = make('p', { class: 'readout', 'aria-live': 'polite' });
  const pen = canvas.getContext('2d');
  const y = depth => (height - foot) * Math.sqrt(Math.max(0, depth) / deepest);
  pen.fillStyle = '#fdfcf9';
  pen.fillRect(0, 0, width, height);
  pen.strokeStyle = '#b9b4a6';
  pen.beginPath();
  for (let x = left - height; x < width; x += 6) { pen.moveTo(x, height - foot); pen.lineTo(x + height, -foot); }
  pen.save(); pen.beginPath(); pen.rect(left, 0, width - left, height - foot); pen.clip();
  pen.beginPath();
  for (let x = left - height; x < width; x += 6) { pen.moveTo(x, height); pen.lineTo(x + height, 0); }
  pen.stroke(); pen.restore();
  const columns = head.rows[0].values.length;
  const columnWidth = (width - left) / columns;
  for (const row of head.rows) {
    const from = y(row.depth_m - row.half_height_m), to = y(row.depth_m + row.half_height_m);
    row.values.forEach((value, index) => {
      if (value === null) return;
      const share = value > 0 ? Math.log(value / bottom) / Math.log(top / bottom) : 0;
      pen.fillStyle = ramp[Math.max(0, Math.min(ramp.length - 1, Math.floor(share * ramp.length)))];
      pen.fillRect(left + index * columnWidth, from, columnWidth + 0.6, to - from + 0.8);
    });
  }
  axes(pen, head, { width, height, left, foot, y, deepest, columnWidth });
  const tell = index => {
    const row = head.rows[Math.max(0, Math.min(head.rows.length - 1, index))];
    const greatest = row.values.reduce((best, value, at) => value !== null && (best < 0 || value > row.values[best]) ? at : best, -1);
    readout.textContent = `${row.depth_m.toFixed(2)} m: brightest ${greatest < 0 ? 'nowhere' : `${row.values[greatest].toPrecision(3)}${head.columns_nm ? ` at ${head.columns_nm[greatest].toFixed(0)} nm` : ''}`}, tilt ${row.tilt_deg?.toFixed(1)}°`;
  };
  let at = 0;
  canvas.addEventListener('keydown', event => {
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      at = Math.max(0, Math.min(head.rows.length - 1, at + (event.key === 'ArrowDown' ? 1 : -1)));
      tell(at);
      event.preventDefault();
    }
  });
  canvas.addEventListener('pointermove', event => {
    const depth = deepest * (event.offsetY / canvas.clientHeight * height / (height - foot)) ** 2;
    at = head.rows.reduce((best, row, index) => Math.abs(row.depth_m - depth) < Math.abs(head.rows[best].depth_m - depth) ? index : best, 0);
    tell(at);
  });
  return make('div', { class: 'picture' }, canvas, readout);
}

function axes(pen, head, box) {
  pen.fillStyle = '#1c2530';
  pen.strokeStyle = '#1c2530';
  pen.font = '13px ui-sans-serif, system-ui, sans-serif';
  pen.strokeRect(box.left, 0.5, box.width - box.left - 0.5, box.height - box.foot);
  pen.textAlign = 'right';
  let last = -99;
  for (const depth of [0, 1, 2, 5, 10, 20, 50, 100, 150, 200, 250]) {
    const y = box.y(depth);
    if (depth > box.deepest || y - last < 16) continue;
    last = y;
    pen.fillText(`${depth} m`, box.left - 6, y + (depth === 0 ? 11 : 5));
  }
  pen.textAlign = 'center';
  if (head.columns_nm === null) {
    pen.fillText('sample, short wavelengths first', (box.left + box.width) / 2, box.height - 8);
    return;
  }
  let next = 0;
  head.columns_nm.forEach((nm, index) => {
    if (nm >= next) {
      next = 50 * Math.ceil((nm + 1) / 50) + (next === 0 ? 0 : 50);
      pen.fillText(nm.toFixed(0), Math.max(box.left + 14, Math.min(box.width - 14, box.left + (index + 0.5) * box.columnWidth)), box.height - box.foot + 18);
    }
  });
  pen.fillText('wavelength, nm', (box.left + box.width) / 2, box.height - 4);
}

/** Tilt and where the heads looked from, seen from above with the sun at the top. */
function attitude(heads) {
  const rows = heads[0].rows;
  const drawing = shape('svg', { class: 'above', viewBox: '-110 -120 220 230', role: 'img' });
  const readout = make('p', { class: 'readout', 'aria-live': 'polite' });
  const slider = make('input', { type: 'range', min: 0, max: rows.length - 1, step: 1, value: 0, 'aria-label': 'Depth, from the surface down' });
  const turn = () => above(drawing, readout, heads, Number(slider.value));
  slider.addEventListener('input', turn);
  turn();
  const depths = rows.map(row => row.depth_m);
  return section('attitude', 'How the float hung', make('div', { class: 'pair' },
    figure('f-above', make('div', {}, drawing, make('label', { class: 'slider' }, 'Depth ', slider), readout),
      'The float from above, the sun at the top. Light comes from the top; the grey wedge is water in the hull’s shadow.'),
    figure('f-tilt', lines('Tilt against depth', 'depth, m', depths, 'tilt, degrees', [{ label: 'tilt', values: rows.map(row => row.tilt_deg) }]),
      'Mean tilt of each bin.')));
}

function above(drawing, readout, heads, index) {
  const parts = [shape('path', { d: 'M0 0L-30 105H30Z', fill: '#d8d6cf', stroke: '#55606c', 'stroke-dasharray': '3 3' }),
    shape('circle', { cx: 0, cy: -105, r: 9, fill: '#f3d48c', stroke: '#a86200', 'stroke-width': 2 }),
    shape('text', { x: 14, y: -101 }, 'sun')];
  const said = [];
  const depth = heads[0].rows[index].depth_m;
  for (const head of heads) {
    const row = head.rows.reduce((best, one) => Math.abs(one.depth_m - depth) < Math.abs(best.depth_m - depth) ? one : best);
    if (row.antisun_deg === null) { said.push(`head ${head.name}: direction not known`); continue; }
    const angle = row.antisun_deg * Math.PI / 180;
    const x = -72 * Math.sin(angle), y = 72 * Math.cos(angle);
    parts.push(shape('line', { x1: 0, y1: 0, x2: x, y2: y, stroke: '#1c2530', 'stroke-width': 4 }),
      shape('circle', { cx: x, cy: y, r: 11, fill: '#fdfcf9', stroke: '#14466b', 'stroke-width': 3 }),
      shape('text', { x, y: y + 4.5, 'text-anchor': 'middle' }, head.name));
    said.push(`head ${head.name} ${Math.abs(row.antisun_deg).toFixed(0)}° from the anti-solar direction`);
  }
  parts.push(shape('circle', { cx: 0, cy: 0, r: 14, fill: '#55606c' }));
  drawing.replaceChildren(...parts);
  drawing.setAttribute('aria-label', said.join('; '));
  readout.textContent = `${depth.toFixed(2)} m: ${said.join('; ')}`;
}

function cast(view) {
  return section('cast', 'Temperature and salinity', make('div', { class: 'pair' },
    figure('f-temperature', lines('Temperature against pressure', 'dbar', view.pressure_dbar, 'temperature, °C', [{ label: 'temperature', values: view.temperature_degc }]),
      'Temperature against raw port pressure, as the float sent it.'),
    figure('f-salinity', lines('Salinity against pressure', 'dbar', view.pressure_dbar, 'practical salinity', [{ label: 'salinity', values: view.practical_salinity }]),
      'Practical salinity against raw port pressure, as the float sent it.')));
}

function words(product) {
  return section('words', 'What to know before use',
    make('ul', { id: 'reasons' }, product.reasons.map(reason => make('li', {}, reason))),
    product.gaps.length === 0 ? null : make('details', {}, make('summary', {}, `${product.gaps.length} gaps in the profile, each with its cause`),
      table('Gaps', [['Head', one => one.head, true], ['From, dbar', one => one.from_dbar?.toFixed(1)], ['To, dbar', one => one.to_dbar?.toFixed(1)], ['Cause', one => one.cause, true]], product.gaps)));
}

