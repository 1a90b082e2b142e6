// Which view, and when to draw it again.
import { compare } from './compare.js';
import { dive } from './dive.js';
import { fleet } from './fleet.js';
import { health } from './health.js';

const view = document.getElementById('view');
const link = document.getElementById('link');
let drawing = false;
let drawAgain = false;
let shown = '';

async function get(path) {
  const answer = await fetch(path);
  if (answer.status === 404) return null;
  const body = await answer.json();
  if (!answer.ok) throw new Error(body.sentence);
  return body;
}

function route() {
  const [page, ...rest] = location.hash.replace(/^#\/?/, '').split('/');
  if (page === 'dive') return { page: 'dive', make: () => dive(get, Number(rest[0]), Number(rest[1])) };
  if (page === 'compare') return { page: 'compare', make: () => compare(get, rest) };
  if (page === 'health') return { page: 'health', make: () => health(get) };
  return { page: '', make: () => fleet(get) };
}

async function draw(moved) {
  if (drawing) { drawAgain = true; return; }
  drawing = true;
  const address = location.hash;
  const open = new Set([...view.querySelectorAll('details[open] > summary')].map(one => one.textContent));
  try {
    const { page, make } = route();
    const { title, simulated, nodes } = await make();
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
      view.dataset.drawn = String(Number(view.dataset.drawn ?? 0) + 1);
    } else {
      drawAgain = true;
    }
  } catch (problem) {
    say('lost', problem.message);
  } finally {
    drawing = false;
  }
  if (drawAgain) { drawAgain = false; setTimeout(() => draw(moved), 0); }
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
  events.addEventListener('open', () => { say('', 'Live'); changed(); });
  events.addEventListener('error', () => say('lost', 'Connection lost; trying again'));
  events.addEventListener('change', event => { if (concerns(JSON.parse(event.data))) changed(); });
}

addEventListener('hashchange', () => draw(true));
draw(true);
listen();
