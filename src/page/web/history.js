// SPDX-License-Identifier: Apache-2.0
'use strict';
// What a shell went through: coats, bakes, what every coat and item has had and has left.
(function (page) {
  const { element, units } = page;
  const found = {};
  let shell = '';
  let work = null;
  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);
  const post = (path, body) => page.post(path, body).then(() => show(shell)).catch(failed);

  function words(said) {
    page.fill(found.words, said.questions.length ? page.list(said.questions, 'warnings') : null, said.removals.length ? page.list(said.removals, 'warnings') : null,
      page.headline(said.worst + ': ' + (said.worst === 'GOOD' ? 'every coat and item.' : 'the first line of each table says where.')),
      page.table(said.coats, 'Coats, in the order sprayed'), page.table(said.items, 'Heat-sensitive items: what they have had, and what is left'),
      said.certainty.length ? [element('h3', {}, 'How sure'), page.list(said.certainty)] : null, said.remarks.length ? page.list(said.remarks) : null);
  }

  const clock = (text) => (text || '').replace('T', ' ').slice(0, 16);

  function coats(list) {
    if (!list.length) return null;
    const rows = list.map((coat) => {
      const at = element('input', { type: 'datetime-local', 'aria-label': 'coat ' + coat.name + ' was sanded at' });
      const sanded = coat.sanded_at ? clock(coat.sanded_at) : element('form', { class: 'row', 'aria-label': 'sanding of ' + coat.name, onsubmit: (event) => {
        event.preventDefault();
        post('/api/coats/' + coat.coat + '/sanded', { at: at.value });
      } }, at, element('button', { type: 'submit' }, 'Sanded'));
      return element('tr', {}, element('th', { scope: 'row' }, coat.name), element('td', {}, clock(coat.applied_at)), element('td', {}, coat.over || 'not said'),
        element('td', { class: 'number' }, coat.zones.length), element('td', {}, sanded));
    });
    return page.grid('Coats as entered', ['Coat', 'Sprayed', 'Over', '#Zones', 'Sanded'], rows);
  }

  function bakes(list, titles) {
    if (!list.length) return null;
    const rows = list.map((entry) => element('tr', {}, element('th', { scope: 'row' }, element('a', { href: '#bakes/' + entry.bake }, 'bake ' + entry.bake)),
      element('td', {}, clock(entry.began_at)), element('td', {}, entry.items_aboard.map((item) => titles[item] || item).join(', ') || 'nothing heat-sensitive'),
      element('td', {}, element('button', { type: 'button', onclick: () => page.remove('/api/history/' + encodeURIComponent(shell) + '/bakes/' + entry.bake).then(() => show(shell)).catch(failed) },
        'Take out of the history'))));
    return page.grid('Bakes as entered', ['Bake', 'Began', 'Items in', 'Fix'], rows);
  }

  function vehicleForm(vehicle) {
    if (!vehicle) return null;
    const job = element('input', { type: 'text', maxlength: '200', value: vehicle.job_number });
    const maker = element('input', { type: 'text', maxlength: '200', value: vehicle.maker_number });
    return element('form', { class: 'row', 'aria-label': 'The vehicle', onsubmit: (event) => {
      event.preventDefault();
      post('/api/history/' + encodeURIComponent(shell) + '/vehicle', { job_number: job.value, maker_number: maker.value });
    } }, page.field('Job number', job), page.field("Maker's number", maker), element('button', { type: 'submit' }, 'Keep the numbers'));
  }

  function entryForms(all) {
    const coating = page.choice(page.shop.coatings, page.shop.coatings[0] && page.shop.coatings[0].name, () => {});
    const name = element('input', { type: 'text', maxlength: '200' });
    const over = element('input', { type: 'text', maxlength: '200' });
    const at = element('input', { type: 'datetime-local', required: true });
    const bake = page.choice(all.map((one) => ({ name: String(one.bake), title: 'bake ' + one.bake + ', ' + one.kind + ': ' + one.title })), '', () => {});
    const began = element('input', { type: 'datetime-local' });
    const path = '/api/history/' + encodeURIComponent(shell);
    page.fill(found.forms, element('h2', {}, 'Enter'), element('div', { class: 'pair' },
      element('form', { class: 'controls', 'aria-label': 'A coat that was sprayed', onsubmit: (event) => {
        event.preventDefault();
        post(path + '/coats', { coating: coating.value, name: name.value || undefined, over: over.value, at: at.value });
      } }, element('h3', {}, 'A coat that was sprayed'), page.field('Coating', coating), page.field('What the shop calls it', name), page.field('Over', over),
      page.field('Sprayed at', at), element('button', { type: 'submit' }, 'Enter the coat')),
      element('form', { class: 'controls', 'aria-label': 'A bake it went through', onsubmit: (event) => {
        event.preventDefault();
        post(path + '/bakes', { bake: Number(bake.value), at: began.value });
      } }, element('h3', {}, 'A bake it went through'), page.field('Bake', bake), page.field('Began at', began, 'not needed where a log tells it'),
      element('button', { type: 'submit' }, 'Enter the bake'))));
  }

  async function show(name) {
    shell = name;
    const answer = await page.get('/api/history/' + encodeURIComponent(name) + '?units=' + units.name);
    if (name !== shell) return;  // another was asked for meanwhile
    page.fill(found.title, answer.words ? null : element('p', {}, 'The book holds no coat and no bake of this shell yet.'));
    page.fill(found.words);
    if (answer.words) words(answer.words);
    page.fill(found.report, answer.words ? element('p', { class: 'row' }, element('a', { class: 'button', href: '/report/shell/' + encodeURIComponent(name) + '?units=' + units.name,
      target: '_blank', rel: 'noopener' }, 'Report to print')) : null);
    page.fill(found.entered, vehicleForm(answer.vehicle), answer.coats ? coats(answer.coats.coats) : null, answer.bakes ? bakes(answer.bakes.bakes, answer.titles) : null);
    entryForms((await page.get('/api/bakes')).bakes);
    if (work) work.stop();
    if (!answer.words) return;
    const mine = page.longWork('/api/history/' + encodeURIComponent(shell) + '/certainty', { units: units.name });
    work = mine;
    mine.done.then((certain) => { if (certain && work === mine) words(certain.words); }).catch(failed);
  }

  page.historyView = {
    begin(view) {
      const part = (name) => { found[name] = element('div'); return found[name]; };
      page.fill(view, element('h1', {}, 'A shell\u2019s history and allowances'), part('question'), part('chooser'), part('title'), part('words'), part('report'), part('entered'), part('forms'));
      units.onChange(() => { if (shell) show(shell).catch(failed); });
    },
    async show(place) {
      const [rest, , question] = place.split('/');
      page.fill(found.question, question ? element('div', { class: 'answers' }, element('p', { class: 'question' }, element('b', {}, page.questionWords(question) + ' '),
        question === 'first' ? 'A coat must be GOOD before the next one covers it: its row says so, zone by zone below.' : 'What each coat and item has left stands below, worst first.')) : null);
      const known = (await page.get('/api/history')).shells;
      const names = [...new Set([...known, ...page.shop.shells.map((one) => one.name)])];
      const chosen = names.includes(rest) ? rest : shell || names[0];
      page.fill(found.chooser, element('div', { class: 'narrow' }, page.field('Shell', page.choice(names.map((name) => ({ name,
        title: (page.shop.shells.find((one) => one.name === name) || { title: name }).title })), chosen, (value) => page.go('history/' + encodeURIComponent(value))))));
      if (chosen) await show(chosen);
    },
  };
})(window.bakewright);
