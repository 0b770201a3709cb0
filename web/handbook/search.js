// Searches the handbook: the build has gathered its words, section by section, in
// words.json, which only this page fetches.
'use strict';

const field = document.getElementById('sought');
const found = document.getElementById('found');
const places = document.getElementById('places');
const begun = found.textContent;
const around = 12; // words shown on each side of what is found
const most = 40; // places shown

// Words as they are compared: small letters without accents, and one apostrophe.
const plain = (text) => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase().replace(/’/g, "'");
const wordsOf = (text) => plain(text).match(/[\p{L}\p{N}][\p{L}\p{N}'.]*/gu) ?? [];

// A word is found in any that begins with it; the plural finds the singular, too.
const stem = (word) => word.replace(/[.']+$/, '').replace(/(?<=....)(?<!s)s$/, '');

const sections = fetch('words.json').then((response) => {
  if (!response.ok) throw new Error('words.json was answered with ' + response.status);
  return response.json();
}).then((all) => all.map((one) => ({ ...one, heads: wordsOf(one.heading + ' ' + one.title), words: wordsOf(one.text) })));

// How well a section suits what is sought: 0 if it lacks a word. A heading counts
// for more than the text below it, and a whole word for more than its beginning.
function weigh(section, sought) {
  let weight = 0;
  for (const word of sought) {
    const heads = section.heads.filter((w) => w.startsWith(word));
    const inside = section.words.filter((w) => w.startsWith(word));
    if (heads.length + inside.length === 0) return 0;
    weight += 20 * Math.min(heads.length, 1) + Math.min(inside.length, 5);
    if (heads.concat(inside).some((w) => stem(w) === word)) weight += 5;
  }
  return weight;
}

// The words around the place where most of what is sought stands together, marked.
function context(text, sought) {
  const pieces = text.split(/\s+/);
  const hits = pieces.map((piece) => sought.filter((s) => wordsOf(piece).some((w) => w.startsWith(s))));
  const together = hits.map((hit, i) => (hit.length === 0 ? 0 : new Set(hits.slice(i, i + around).flat()).size));
  const first = together.indexOf(Math.max(...together));
  const from = Math.max(first - around, 0), to = Math.min(first + around + 1, pieces.length);
  const line = document.createElement('p');
  if (from > 0) line.append('… ');
  for (let i = from; i < to; i++) {
    const word = document.createElement(hits[i].length > 0 ? 'mark' : 'span');
    word.textContent = pieces[i];
    line.append(word, ' ');
  }
  if (to < pieces.length) line.append('…');
  return line;
}

function placeOf({ page, id, title, heading, text }, sought) {
  const item = document.createElement('li'), link = document.createElement('a');
  link.href = page + (id ? '#' + id : '');
  link.textContent = heading === title ? title : `${title}: ${heading}`;
  item.append(link, context(text, sought));
  return item;
}

async function search() {
  const asked = field.value.trim();
  // The address leads here again, back from a place that was found.
  history.replaceState(null, '', asked ? '?sought=' + encodeURIComponent(asked) : '?');
  const sought = wordsOf(asked).map(stem);
  let all;
  try {
    all = await sections;
  } catch (error) {
    console.warn(error);
    found.textContent = 'The words of the handbook could not be read. Load the page again.';
    return;
  }
  if (field.value.trim() !== asked) return; // typed on meanwhile
  if (sought.length === 0) {
    places.replaceChildren();
    found.textContent = begun;
    return;
  }
  const suited = all.map((section) => ({ section, weight: weigh(section, sought) }))
    .filter(({ weight }) => weight > 0).sort((a, b) => b.weight - a.weight);
  places.replaceChildren(...suited.slice(0, most).map(({ section }) => placeOf(section, sought)));
  found.textContent = told(asked, sought, suited.length, all);
}

function told(asked, sought, count, all) {
  if (count > most) return `${count} places have “${asked}”; these are the ${most} likeliest. One more word makes them fewer.`;
  if (count > 0) return count === 1 ? `One place has “${asked}”.` : `${count} places have “${asked}”.`;
  const alone = sought.filter((word) => !all.some((section) => weigh(section, [word])));
  if (alone.length === 0) return `Nothing was found: no place has all the words of “${asked}”. Leave one out.`;
  return `Nothing was found: the handbook has no word that begins with “${alone.join('” or “')}”. Try another.`;
}

field.form.addEventListener('submit', (event) => {
  event.preventDefault();
  search();
});
field.addEventListener('input', search);
field.value = new URLSearchParams(location.search).get('sought') ?? '';
if (field.value) search();
else field.focus();
