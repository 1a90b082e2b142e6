import { facts, make, place, section, table } from './draw.js';
import { pictures } from './pictures.js';

/** The product that was decoded last, of which dive and from which messages. */
let known = { address: '', stamp: '', product: undefined, problem: '' };

/** What shore makes of the dive's messages; undefined while it is still at work, and then the page is drawn again. */
async function decoded(get, address, stamp, redraw) {
  if (known.address !== address) known = { address, stamp: '', product: undefined, problem: '' };
  if (known.stamp !== stamp) {
    const keep = (product, problem) => { if (known.address === address) known = { address, stamp, product, problem }; };
    const work = get(`${address}/product`).then(product => keep(product, ''), problem => keep(known.product, problem.message));
    await Promise.race([work, new Promise(resolve => setTimeout(resolve, 300))]);
    if (known.stamp !== stamp) work.then(redraw);
  }
  return known;
}

/** One dive, as far as its messages tell. */
export async function dive(get, floatNumber, number, redraw) {
  const address = `api/dives/${floatNumber}/${number}`;
  const [view, ramp] = await Promise.all([get(address), get('api/ramp')]);
  if (view === null) {
    return { title: 'No such dive', nodes: [make('h1', {}, 'No such dive'), make('p', {}, 'No message of this dive was accepted yet; when one comes, it shows here.')] };
  }
  const { product, problem } = await decoded(get, address, view.assembled_sha256, redraw);
  const name = `Float ${view.float_number}, dive ${view.dive}`;
  const files = `dives/${view.float_number}/${view.dive}/`;
  const nodes = [
    make('h1', {}, name),
    facts([
      ['Messages here', `${view.received} of ${view.planned === null ? 'at least ' : ''}${view.expected}`],
      ['Made good by repair', view.repaired],
      ['Missing', view.missing],
      ['Surfaced', view.surfaced_utc === null ? 'not known yet' : view.surfaced_utc.replace('T', ' ').replace('Z', ' UTC')],
      ['Place', place(view.latitude_deg, view.longitude_deg)],
      ['Last message', view.last_arrival_utc.replace('T', ' ').replace('Z', ' UTC')],
    ]),
    view.findings.length === 0 ? null : section('findings', 'Departs from its rehearsal', make('ul', { class: 'attention' }, view.findings.map(one => make('li', {}, make('strong', {}, one.what), make('p', {}, one.evidence))))),
    section('messages', 'Messages', strip(view), make('details', {}, make('summary', {}, 'The messages as a table'), messageTable(view))),
    lacking(view, files),
    problem ? section('decoding', 'Decoding', make('p', { role: 'status' }, problem)) : null,
    ...(product === undefined ? [waiting(problem)] : product === null ? [nothing()] : pictures(product, ramp)),
    section('files', 'Files', make('ul', {}, downloads(product, files))),
  ];
  if (view.dives_of_float.length > 1) {
    nodes.push(section('others', `Dives of float ${view.float_number}`, make('p', {}, view.dives_of_float.map(other =>
      make('a', { href: `#/dive/${other.float_number}/${other.dive}`, 'aria-current': other.dive === view.dive ? 'page' : null }, `${other.dive}`))
      .flatMap((link, index) => index === 0 ? [link] : [', ', link]))));
  }
  return { title: name, simulated: view.simulated, nodes: nodes.filter(node => node !== null) };
}

/** What to ask the float for, and the order that asks. Nothing is sent from here. */
function lacking(view, files) {
  const order = view.resend;
  if (order.positions.length === 0) return null;
  const runs = [];
  for (const at of order.positions) {
    if (runs.length > 0 && runs.at(-1)[1] === at - 1) runs.at(-1)[1] = at; else runs.push([at, at]);
  }
  const named = runs.map(([from, to]) => from === to ? `${from}` : `${from} to ${to}`).join(', ');
  const parts = [make('p', {}, `Sent again, the messages at positions ${named} would complete the dive. That is ${order.cost} (the plan’s figures, assumed).`)];
  if (order.possible) {
    const number = make('input', { type: 'number', min: 1, max: 999999999, value: order.number, id: 'order-number' });
    const link = make('a', { class: 'order', download: '' }, '');
    const name = () => { link.href = `${files}resend-${number.value}.msg`; link.textContent = `Make the order file resend-${number.value}.msg`; };
    number.addEventListener('input', name);
    name();
    parts.push(make('p', { class: 'ask' }, make('label', { for: 'order-number' }, 'Order number '), number, link),
      make('p', { class: 'caution' }, make('strong', {}, 'Caution. '), `${order.caution} Nothing is sent from here. The number must be above that of every order the float has taken; its receipts here name ${order.number - 1 || 'none'}.`));
  } else {
    parts.push(make('p', {}, 'Orders are always sealed, and this watch has no key of the float. With the key: ',
      make('code', {}, `sunward order --float ${view.float_number} --number N --key FILE --resend DIR --out NAME`), ' (DIR: the folder of this watch).'),
    make('p', { class: 'caution' }, make('strong', {}, 'Caution. '), order.caution));
  }
  return section('lacking', 'What is missing, and how to ask for it', parts);
}

function waiting(problem) {
  return problem ? null : section('decoding', 'Decoding', make('p', { class: 'calm', role: 'status' }, 'Making profile and radiance of what has come …'));
}

function nothing() {
  return section('decoding', 'Decoding', make('p', {}, 'Nothing can be decoded yet: no message of data has come.'));
}

function downloads(product, files) {
  const list = [['messages.zip', 'every accepted message as received']];
  if (product) list.unshift(['profile.nc', 'profile and radiance, netCDF'], ['radiance.csv', 'radiance, CSV']);
  return list.map(([name, what]) => make('li', {}, make('a', { href: files + name, download: '' }, name), ` (${what})`));
}

/** What is known of every position: accepted messages, rejected claims, and what is missing between them. */
export function positions(view) {
  const cells = [];
  for (let at = 0; at < view.expected; at++) cells.push({ position: at, state: view.repaired_positions.includes(at) ? 'repaired' : 'missing', bytes: 0, what: '' });
  for (const message of view.messages) {
    const cell = cells[message.position];
    if (cell === undefined || message.kind === 'repair') continue;
    if (message.reason) {
      if (cell.state === 'missing') Object.assign(cell, { state: 'rejected', bytes: message.bytes, what: message.reason });
    } else if (cell.state === 'received' || cell.state === 'contradictory') {
      cell.state = 'contradictory';
    } else {
      Object.assign(cell, { state: 'received', bytes: message.bytes, what: `${message.block || message.kind} part ${message.part}` });
    }
  }
  return cells;
}

function strip(view) {
  const cells = positions(view);
  const tallest = Math.max(1, ...cells.map(cell => cell.bytes));
  const count = state => cells.filter(cell => cell.state === state).length;
  return make('figure', {},
    make('ol', { class: 'messages', 'aria-label': `${count('received')} received, ${count('repaired')} repaired, ${count('missing')} missing, ${count('rejected')} rejected` },
      cells.map(cell => {
        const bar = make('div', { class: `bar ${cell.state}` });
        bar.style.height = `${cell.bytes === 0 ? 100 : Math.max(6, 100 * cell.bytes / tallest)}%`;
        const text = `position ${cell.position}: ${cell.state}${cell.what ? ', ' + cell.what : ''}${cell.bytes ? `, ${cell.bytes} bytes` : ''}`;
        return make('li', { title: text }, make('div', { class: 'box' }, bar), make('span', { class: 'visually-hidden' }, text),
          make('span', { 'aria-hidden': 'true' }, cell.position % 5 === 0 ? String(cell.position) : '\u00a0'));
      })),
    make('p', { class: 'legend' }, ['received', 'repaired', 'missing', 'rejected', 'contradictory'].map(state =>
      make('span', {}, make('i', { class: `bar ${state}` }), `${state}: ${count(state)}`))),
    make('figcaption', {}, view.planned === null
      ? 'One column a position in the sending order, its height the bytes. How many were sent is not known until the ledger comes.'
      : 'One column a position of data in the sending order, its height the bytes. A repaired message did not come; it was made good from the repair messages, of which ' + view.repairs + ' came.'));
}

function messageTable(view) {
  return table('Accepted messages, and rejected ones that claim to be of this dive', [
    ['Position', one => one.position < 0 ? 'not known' : one.position],
    ['Kind', one => one.kind, true],
    ['Block', one => one.block, true],
    ['Part', one => one.part],
    ['Bytes', one => one.bytes],
    ['Came', one => one.arrival_utc.replace('T', ' ').replace('Z', ''), true],
    ['Rejected because', one => one.sentence, 'long'],
  ], view.messages);
}
