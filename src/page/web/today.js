// SPDX-License-Identifier: Apache-2.0
'use strict';
// The first view: what is next, what was last, and the questions a painter comes with. A row opens the view that answers it, with
// the answer on top; where the answer is known already it stands beside the question.
(function (page) {
  const { element, units } = page;
  const found = {};
  let judging = null;

  /// A question in the shop's words, and where it is answered: "prepare" with its name, or a place made from the newest bakes.
  const questions = [
    { id: 'set', group: 'before', words: 'What do I set?', view: 'prepare' },
    { id: 'ramp', group: 'before', words: 'How fast may it heat up?', view: 'prepare' },
    { id: 'out', group: 'before', words: 'What must come out?', view: 'prepare' },
    { id: 'items', group: 'before', words: 'How hot will the seats get?', view: 'prepare' },
    { id: 'caps', group: 'before', words: 'Will the caps print?', view: 'prepare' },
    { id: 'cold', group: 'before', words: 'Cold shell: how much longer?', view: 'prepare' },
    { id: 'low', group: 'before', words: 'Lower, for the battery?', view: 'prepare' },
    { id: 'basis', group: 'before', words: 'Is the sheet for air or metal?', view: 'prepare' },
    { id: 'clock', group: 'while', words: 'When does the clock start?', view: 'prepare' },
    { id: 'last', group: 'while', words: 'Which zone is last?', view: 'prepare' },
    { id: 'probes', group: 'while', words: 'Where do my probes go?', view: 'prepare' },
    { id: 'tripped', group: 'while', words: 'The burner tripped: start over?', view: 'log' },
    { id: 'loggers', group: 'while', words: 'Two loggers, two clocks', view: 'log' },
    { id: 'probe', group: 'while', words: 'One probe reads odd: believe it?', view: 'logged' },
    { id: 'done', group: 'after', words: 'Is it done?', view: 'logged' },
    { id: 'sand', group: 'after', words: 'When can we sand?', view: 'logged' },
    { id: 'tape', group: 'after', words: 'When can we tape, polish?', view: 'logged' },
    { id: 'panel', group: 'after', words: 'Panel is fine: is the van?', view: 'logged' },
    { id: 'same', group: 'after', words: 'Are the doors like the body?', view: 'pair' },
    { id: 'left', group: 'after', words: 'How many bakes are left?', view: 'history' },
    { id: 'first', group: 'after', words: 'Is the first clear hard enough?', view: 'history' },
    { id: 'soft', group: 'after', words: 'The customer says it is soft', view: 'find' },
  ];
  const groups = [['before', 'Before the bake'], ['while', 'While it bakes, or goes wrong'], ['after', 'After the bake']];

  page.questionWords = (id) => (questions.find((one) => one.id === id) || { words: '' }).words;

  const kept = (key) => { try { return localStorage.getItem('prepare-' + key) || ''; } catch (error) { return ''; } };
  const titleOf = (list, name) => (list.find((one) => one.name === name) || list.find((one) => one.good) || { title: 'none yet', name: '' });

  /// Where a row leads, and what stands beside it now.
  function placeOf(question, state) {
    const bake = state.logged ? 'bakes/' + state.logged.bake + '/ask/' + question.id : '';
    if (state.recordings.length && ['clock', 'last'].includes(question.id)) return { where: 'live', beside: 'it bakes now' };
    switch (question.view) {
      case 'prepare': return { where: 'prepare/ask/' + question.id, beside: shortAnswer(question.id) };
      case 'log': return { where: 'log/ask/' + question.id, beside: question.id === 'tripped' ? 'count the credit' : 'put together' };
      case 'logged': return bake ? { where: bake, beside: 'bake ' + state.logged.bake } : { where: 'log/ask/' + question.id, beside: 'needs a log' };
      case 'pair': return state.bakes.length > 1 ? { where: 'bakes/' + state.bakes[0].bake + '+' + state.bakes[1].bake, beside: 'compare two' } : { where: 'bakes', beside: 'needs two bakes' };
      case 'history': return { where: 'history/' + encodeURIComponent(state.shell) + '/ask/' + question.id, beside: 'by coat and item' };
      default: return { where: 'bakes//ask/soft', beside: 'find its record' };
    }
  }

  /// Only what is true whatever is set: the rest is worked out where the row leads.
  const shortAnswer = (id) => (id === 'out' ? page.shop.checklist.length + ' things to check' : 'work it out');

  function row(question, state) {
    const { where, beside } = placeOf(question, state);
    return element('li', {}, element('a', { class: 'ask', href: '#' + where, 'data-question': question.id }, element('span', {}, question.words), element('span', { class: 'beside' }, element('span', { class: 'known' }, beside), ' ', element('span', { 'aria-hidden': 'true' }, '›'))));
  }

  function card(head, title, ...rest) { return element('div', { class: 'card-box' }, element('p', { class: 'hint' }, head), element('h2', {}, title), rest); }

  function draw(state) {
    const last = state.logged || state.bakes[0];
    const shell = titleOf(page.shop.shells, state.shell);
    page.fill(found.cards,
      state.recordings.length ? card('In the booth now', state.recordings.map((one) => one.booth).join(', '), element('p', {}, 'Being recorded: minutes to heat off, which zone is last.'), element('a', { class: 'button main', href: '#live' }, 'Look')) : null,
      card('Next', shell.title, element('p', {}, titleOf(page.shop.coatings, kept('coating')).title + ', ' + titleOf(page.shop.booths, kept('booth')).title + '.'),
        element('p', {}, element('b', {}, 'Not ready: '), page.shop.checklist.length + ' load checks are answered for each bake anew.'),
        element('a', { class: state.recordings.length ? 'button' : 'button main', href: '#prepare' }, 'Prepare it')),
      last ? card('Last', last.title || 'bake ' + last.bake, found.lastWord = element('p', { class: 'row' }), element('p', {}, [last.kind, last.started_at ? last.started_at.replace('T', ' ').slice(0, 16) : '', last.shell, last.coating].filter((part) => part).join(' · ')),
        element('a', { class: 'button', href: '#bakes/' + last.bake }, 'Open the record')) : card('Last', 'No bake yet', element('p', {}, 'The book is empty. Prepare a bake and keep it, or bring in a log.'), element('a', { class: 'button', href: '#log' }, 'Bring in a log')),
      state.recordings.length ? null : card('A log from the booth', 'Bring it in', element('p', {}, 'Any usual logger file, as it is. It says which zones got enough.'), element('a', { class: 'button', href: '#log' }, 'Bring in a log')));
    page.fill(found.groups, groups.map(([name, title]) => {
      const rows = questions.filter((question) => question.group === name);
      return element('details', { class: 'card-box group', open: innerWidth >= 600 || name === 'before' }, element('summary', {}, element('h2', {}, title), element('span', { class: 'hint count' }, String(rows.length))),
        element('ul', { class: 'asks' }, rows.map((question) => row(question, state))));
    }));
  }

  /// The word on the newest log, as judging it says, on its card and beside "Is it done?": it takes a second.
  async function judge(logged) {
    if (!logged || !logged.coating) return;
    const card = found.lastWord;
    judging = page.longWork('/api/bakes/words', { bakes: [logged.bake] });
    const words = await judging.done;
    const word = words && words.words[0].worst;
    if (!word || card !== found.lastWord) return;
    page.fill(card, page.badge(word));
    const beside = found.groups.querySelector('[data-question="done"] .known');
    if (beside) page.fill(beside, 'bake ' + logged.bake + ': ' + word);
  }

  page.todayView = {
    begin(view) {
      const part = (name, kind) => { found[name] = element('div', { class: kind }); return found[name]; };
      page.fill(view, element('h1', { class: 'unseen' }, 'Today'), part('cards', 'cards'), part('groups', 'groups'));
      units.onChange(() => {});
    },
    leave() { if (judging) judging.stop(); },
    async show() {
      const bakes = (await page.get('/api/bakes')).bakes;
      const logged = bakes.find((bake) => bake.kind === 'logged');
      draw({ bakes, recordings: (await page.get('/api/recordings')).recordings, logged, shell: titleOf(page.shop.shells, kept('shell')).name });
      judge(logged).catch(() => {});  // the bake's own view says why it has no word
    },
  };
})(window.bakewright);
