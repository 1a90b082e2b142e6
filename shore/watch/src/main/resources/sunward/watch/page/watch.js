// Which view, and when to draw it again.
import { make } from './draw.js';
import { compare } from './compare.js';
import { dive } from './dive.js';
import { fleet } from './fleet.js';
import { health } from './health.js';

const view = document.getElementById('view');
const link = document.getElementById('link');
let drawing = false;
let drawAgain = false;
let shown = '';
let live = false;

async function get(path) {
  const answer = await fetch(path);
  if (answer.status === 404) return null;
  if (answer.status === 401) throw new Error('The watch wants its token; load the page again and give it as the password.');
  const body = await answer.json();
  if (!answer.ok) throw new Error(body.sentence);
  return body;
}

function route() {
  const [page, ...rest] = location.hash.replace(/^#\/?/, '').split('/');
  if (page === 'dive') return { page: 'dive', drawn: () => dive(get, Number(rest[0]), Number(rest[1]), changed) };
  if (page === 'compare') return { page: 'compare', drawn: () => compare(get, rest) };
  if (page === 'health') return { page: 'health', drawn: () => health(get) };
  return { page: '', drawn: () => fleet(get) };
}

async function draw(moved) {
  if (drawing) { drawAgain = true; return; }
  drawing = true;
  const address = location.hash;
  const open = new Set([...view.querySelectorAll('details[open] > summary')].map(one => one.textContent));
  try {
    const { page, drawn } = route();
    const { title, simulated, nodes } = await drawn();
    if (address === location.hash) {
      view.replaceChildren(...nodes);
      for (const one of view.querySelectorAll('summary')) one.parentElement.open = open.has(one.textContent);
      document.title = `${title} · Shore watch`;
      document.getElementById('mark').hidden = !simulated;
      document.body.classList.toggle('simulated', Boolean(simulated));
      for (const one of document.querySelectorAll('nav a')) {
        if (one.getAttribute('href') === `#/${page}`) one.setAttribute('aria-current', 'page'); else one.removeAttribute('aria-current');
      }
      if (moved && shown !== '') { scrollTo(0, 0); view.focus({ preventScroll: true }); }
      shown = address || '#/';
      if (live) say('', 'Live');
      view.dataset.drawn = String(Number(view.dataset.drawn ?? 0) + 1);
    } else {
      drawAgain = true;
    }
  } catch (problem) {
    failed(address, problem);
  } finally {
    drawing = false;
  }
  if (drawAgain) { drawAgain = false; setTimeout(() => draw(moved), 0); }
}

/** The page is never empty without saying why: what is on it stays while another try is made. */
function failed(address, problem) {
  const reason = problem instanceof TypeError ? 'The watch does not answer.' : problem.message;
  if (shown !== (address || '#/')) {
    view.replaceChildren(make('h1', {}, 'Nothing to show yet'), make('p', { class: 'calm', role: 'status' }, `${reason} Trying again …`));
    document.title = 'Nothing to show yet · Shore watch';
  } else {
    say('lost', `${reason} Shown is what came before.`);
  }
  setTimeout(() => draw(false), 2000);
}

function say(state, text) {
  link.className = state;
  link.textContent = text;
}

let due = null;
/** Draws again soon, however many changes come until then. */
function changed() {
  if (due === null) due = setTimeout(() => { due = null; draw(false); }, 300);
}

function concerns(change) {
  const [page, floatNumber, number] = location.hash.replace(/^#\/?/, '').split('/');
  return page !== 'dive' || change.all || change.dives.includes(`${floatNumber}/${number}`);
}

function listen() {
  const events = new EventSource('events');
  events.addEventListener('open', () => { live = true; say('', 'Live'); changed(); });
  events.addEventListener('error', () => { live = false; say('lost', 'Connection lost; trying again'); });
  events.addEventListener('change', event => { if (concerns(JSON.parse(event.data))) changed(); });
}

addEventListener('hashchange', () => draw(true));
// "5 min ago" grows old by itself.
setInterval(changed, 60000);
draw(true);
listen();
