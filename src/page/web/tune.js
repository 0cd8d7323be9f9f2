// SPDX-License-Identifier: Apache-2.0
'use strict';
// Learn from logged bakes: which bakes, what to learn, what came of it beside how sure it is, and the tuned versions in the book.
(function (page) {
  const { element, units } = page;
  const found = {};
  const use = new Map();        // number of a logged bake: 'learn' or 'hold'
  const what = new Set();
  const task = { shell: '', booth: '', by_cycle: false, keep_suspects: false };
  let logged = [];
  let work = null;
  let tuned = null;             // the newest answer
  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);
  const used = (as) => [...use].filter(([, one]) => one === as).map(([bake]) => bake);

  // --- what is asked ----------------------------------------------------------------------------------------------------------

  function bakes() {
    if (logged.length === 0) {
      page.fill(found.bakes, element('legend', {}, 'Logged bakes'), element('p', {}, 'The book holds no log yet. ', element('a', { href: '#log' }, 'Bring one in'), '.'));
      return;
    }
    const choices = [['', 'not used'], ['learn', 'learn from it'], ['hold', 'hold it out']];
    const rows = logged.map((bake) => element('fieldset', { class: 'check' }, element('legend', {}, element('b', {}, bake.title || 'bake ' + bake.bake), ' ',
      element('span', { class: 'hint' }, ['bake ' + bake.bake, (bake.started_at || '').slice(0, 10), bake.shell].filter((part) => part).join(' · '))),
    choices.map(([value, words]) => element('label', { class: 'box' }, element('input', { type: 'radio', name: 'use-' + bake.bake, value, checked: (use.get(bake.bake) || '') === value,
      onchange: () => { if (value) use.set(bake.bake, value); else use.delete(bake.bake); ready(); } }), element('span', {}, words)))));
    page.fill(found.bakes, element('legend', {}, 'Logged bakes'), rows);
  }

  function tunables(list) {
    page.fill(found.what, element('legend', {}, 'What to learn'), list.map((one) => {
      if (one.chosen) what.add(one.name);
      return element('label', { class: 'box' }, element('input', { type: 'checkbox', value: one.name, checked: one.chosen, onchange: (event) => {
        if (event.target.checked) what.add(one.name); else what.delete(one.name);
        ready();
      } }), element('span', {}, one.title));
    }));
  }

  const flag = (key, words) => element('label', { class: 'box' }, element('input', { type: 'checkbox', onchange: (event) => { task[key] = event.target.checked; } }), element('span', {}, words));

  function ready() { found.start.disabled = Boolean(work) || used('learn').length === 0 || what.size === 0; }

  function choosers() {
    const own = { name: '', title: 'that of the bakes' };
    const chooser = (key, label, options) => page.field(label, page.choice([own, ...options], task[key], (value) => { task[key] = value; }));
    page.fill(found.choosers, chooser('shell', 'Shell', page.shop.shells), chooser('booth', 'Booth', page.shop.booths));
  }

  // --- the work ---------------------------------------------------------------------------------------------------------------

  async function start() {
    const bar = element('progress', { max: 1, 'aria-label': 'how much is done' });
    const mine = page.longWork('/api/tune', { ...task, bakes: used('learn'), held_out: used('hold'), what: [...what], units: units.name }, (share) => { bar.value = share; });
    work = mine;
    page.showProblems([]);
    ready();
    page.fill(found.work, element('p', { class: 'hint' }, 'Learning; each bake is held out in turn, which takes a while …'), bar,
      element('button', { type: 'button', onclick: () => mine.stop() }, 'Stop'));
    try {
      const answer = await mine.done;
      page.fill(found.work, answer ? null : element('p', {}, 'Stopped; nothing was learned and nothing is kept.'));
      page.say(answer ? answer.words.headline : 'stopped');
      if (answer) { tuned = answer; draw(); }
    } catch (error) {
      page.fill(found.work);
      failed(error);
    }
    work = null;
    ready();
  }

  // --- what came of it --------------------------------------------------------------------------------------------------------

  const sentences = (title, list) => (list.length ? [element('h3', {}, title), page.list(list)] : null);

  function draw() {
    const said = tuned.words;
    page.fill(found.answers, page.headline(said.settled ? said.headline : 'CHECK: the fit did not settle; take none of its numbers for granted. ' + said.headline),
      page.list([...said.suspects, ...said.warnings], 'warnings'));
    page.fill(found.result, page.table(said.errors, 'How far predictions are off, root mean square; held out: learned from the others only'),
      page.table(said.numbers, 'What was learned: a factor on what the profiles say, or so much warmer'),
      sentences('What the logs could not separate', said.untold), page.table(said.probes, 'Probes: offsets with their standard errors'));
    found.outcome.hidden = false;
    page.fill(found.kept);
  }

  async function again() {
    if (!tuned) return;
    tuned = await page.get('/api/tune/' + tuned.tuning + '?units=' + units.name);
    draw();
  }

  async function keep() {
    try {
      const kept = await page.post('/api/tune/' + tuned.tuning + '/keep', { name: found.name.value || undefined });
      page.fill(found.kept, element('p', {}, 'Kept as shell ' + kept.shell + ' and booth ' + kept.booth + '. Choose them by these names where a bake is prepared.'));
      page.say('Kept as ' + kept.shell);
      await page.readShop();
      await versions();
    } catch (error) {
      failed(error);
    }
  }

  const off = (k) => (k === null ? 'not told' : units.differenceFromKelvin(k).toFixed(2) + ' ' + units.differenceSymbol);

  async function versions() {
    const known = await page.get('/api/tune');
    if (!found.what.hasChildNodes()) tunables(known.what);
    const rows = known.versions.map((one) => element('tr', {}, element('th', { scope: 'row' }, one.name), element('td', {}, one.kind), element('td', {}, one.learned_from.join(', ')),
      element('td', { class: 'number' }, one.numbers), element('td', { class: 'number' }, off(one.error_used_k)), element('td', { class: 'number' }, off(one.error_held_out_k)),
      element('td', {}, one.kept_at.replace('T', ' ').slice(0, 16) + ' UTC'),
      element('td', {}, element('button', { type: 'button', 'aria-label': 'Prepare with it: ' + one.kind + ' ' + one.name, onclick: () => page.prepareWith(one.kind, one.name).catch(failed) }, 'Prepare with it'))));
    page.fill(found.versions, rows.length === 0 ? null : page.grid('Tuned in the book', ['Name', 'Kind', 'Learned from', '#Numbers', '#Off on those', '#Off on held out', 'Kept', 'Go on'], rows));
  }

  page.tuneView = {
    begin(view) {
      const part = (name, tag, attributes) => { found[name] = element(tag || 'div', attributes || {}); return found[name]; };
      found.start = element('button', { type: 'button', class: 'main', disabled: true, onclick: start }, 'Learn from these bakes');
      found.name = element('input', { type: 'text', maxlength: '60', pattern: '[A-Za-z0-9_\\-]+' });
      const controls = element('form', { class: 'controls', onsubmit: (event) => event.preventDefault(), 'aria-label': 'What is learned from which bakes' },
        part('bakes', 'fieldset', { class: 'aboard' }), part('what', 'fieldset', { class: 'aboard' }),
        element('details', {}, element('summary', {}, 'Shell, booth, and how'), part('choosers', 'div', { class: 'controls' }), flag('by_cycle', 'drive the model by the cycle, and learn what the air makes of it'),
          flag('keep_suspects', 'use channels that look loose or exchanged')), found.start, part('work', 'div', { class: 'controls' }));
      const keeping = element('div', { class: 'row' }, page.field('Name of the tuned shell and booth', found.name, 'empty: theirs with _tuned'),
        element('button', { type: 'button', class: 'main', onclick: keep }, 'Keep in the book'));
      part('outcome', 'div', { hidden: true });
      page.fill(found.outcome, part('answers', 'div', { class: 'answers' }), keeping, part('kept'), part('result'));
      page.fill(view, element('h1', {}, 'Learn from logs'), element('div', { class: 'bench' }, controls, element('div', { class: 'outcome' },
        element('p', {}, 'A model that nobody tuned is a guess. Choose logged bakes; what they teach of air, joints and weights is kept under a new name, and the profiles stay ' +
          'as they are. A bake that is held out is only predicted: its error tells what to expect of the next bake.'), found.outcome, part('versions'))));
      units.onChange(() => { versions().then(again).catch(failed); });
    },
    async show() {
      logged = (await page.get('/api/bakes')).bakes.filter((bake) => bake.kind === 'logged');
      choosers();
      bakes();
      await versions();
      ready();
    },
  };
})(window.bakewright);
