// SPDX-License-Identifier: Apache-2.0
'use strict';
// The shop's shells, coatings and booths: the text of a profile, checked while it is typed. TOML stays what counts.
(function (page) {
  const { element } = page;
  const found = {};
  const kinds = [['shell', 'Shells'], ['coating', 'Coatings'], ['booth', 'Booths'], ['cycle', 'Cycles'], ['material', 'Materials'], ['probes', 'Probe records']];
  let kind = 'shell';
  let opened = null;   // {name, sha256, path}
  let bake = null;     // what a bake with the text comes to, beside it
  let waiting = 0;
  let asked = 0;
  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);

  async function list() {
    const answer = await page.get('/api/profiles/' + kind);
    const isAsked = ['shell', 'booth', 'coating'].includes(kind);
    page.fill(found.list, isAsked ? element('p', {}, element('a', { href: '#profiles/' + kind + '/+new' }, 'New ' + kind + ' by questions')) : null, element('ul', { class: 'names' }, answer.profiles.map((profile) => element('li', {}, element('a', {
      href: '#profiles/' + kind + '/' + profile.name, 'aria-current': opened && opened.name === profile.name ? 'true' : null },
      element('b', {}, profile.title), element('span', { class: 'hint' }, profile.name + (profile.is_own ? ', the shop\u2019s own' : '') +
        (profile.mistakes ? ', ' + profile.mistakes + ' mistakes' : '')))))));
  }

  async function open(name) {
    const answer = await page.get('/api/profiles/' + kind + '/' + encodeURIComponent(name));
    opened = { name, sha256: answer.sha256, path: answer.path };
    beside();
    found.text.value = answer.text;
    found.name.value = name;
    page.fill(found.path, answer.path);
    found.editor.hidden = false;
    await check();
  }

  /// Of a shell, a booth or a coating.
  function beside() {
    page.fill(found.bake);
    bake = ['shell', 'booth', 'coating'].includes(kind) ? page.profileBake(found.bake, kind) : null;
    found.bake.hidden = true;
  }

  async function check() {
    const mine = ++asked;
    try {
      const answer = await page.post('/api/profiles/' + kind + '/check', { text: found.text.value, name: found.name.value || 'new' });
      if (mine !== asked) return;
      tell(answer.profiles[0]);
    } catch (error) {
      failed(error);
    }
  }

  /// A new one of answers: the form stands in place of the text until its text is taken.
  function ask() {
    opened = null;
    found.editor.hidden = true;
    page.profileQuestions(found.questions, kind, async (text, name) => {
      page.fill(found.questions);
      beside();
      found.text.value = text;
      found.name.value = name;
      page.fill(found.path, 'not saved yet');
      found.editor.hidden = false;
      await check();
      found.save.focus();
    });
  }

  function tell(report) {
    found.save.disabled = !report.good;
    if (bake && report.good) bake.show(found.text.value);
    else if (bake) bake.hide();
    const problems = report.problems.map((problem) => element('li', {}, element('button', { type: 'button', class: 'pick', onclick: () => goTo(problem.line) },
      problem.line ? 'line ' + problem.line : 'the file'), ' ' + [problem.key, problem.message].filter((part) => part).join(': ')));
    page.fill(found.report, element('p', { class: 'headline' }, report.good ? element('span', { class: 'word calm' }, 'No mistakes')
      : element('span', { class: 'word alarm' }, report.problems.length === 1 ? '1 mistake' : report.problems.length + ' mistakes')),
    problems.length ? element('ul', { class: 'plain' }, problems) : null,
    report.notes.length ? element('details', {}, element('summary', {}, report.notes.length + ' notes: numbers without a source, defaults that were used'), page.list(report.notes)) : null);
    page.say(report.good ? 'no mistakes' : report.problems.length + ' mistakes');
  }

  function goTo(line) {
    const lines = found.text.value.split('\n');
    const from = lines.slice(0, Math.max(0, line - 1)).join('\n').length + (line > 1 ? 1 : 0);
    found.text.focus();
    found.text.setSelectionRange(from, from + (lines[line - 1] || '').length);
    found.text.scrollTop = Math.max(0, (line - 6) * parseFloat(getComputedStyle(found.text).lineHeight));
  }

  async function save() {
    const name = found.name.value;
    try {
      const saved = await page.post('/api/profiles/' + kind + '/' + encodeURIComponent(name) + '/save',
        { text: found.text.value, sha256_before: opened && opened.name === name ? opened.sha256 : undefined });
      opened = { name, sha256: saved.sha256, path: saved.path };
      page.fill(found.path, 'saved in ' + saved.path + (saved.goes_before ? '; ' + saved.goes_before + ' goes before it' : ''));
      page.say('saved');
      await page.readShop();
      await list();
    } catch (error) {
      failed(error);
    }
  }

  /// Tab leaves the text, as everywhere; two blanks are typed by hand.
  function editor() {
    found.text = element('textarea', { id: 'profile-text', spellcheck: 'false', rows: '18', wrap: 'off', oninput: () => {
      clearTimeout(waiting);
      waiting = setTimeout(check, 250);
    } });
    found.name = element('input', { type: 'text', maxlength: '60', id: 'profile-name', pattern: '[A-Za-z0-9_\\-]+' });
    found.save = element('button', { type: 'button', class: 'main', onclick: save }, 'Save as the shop\u2019s own');
    found.path = element('p', { class: 'hint' });
    found.report = element('div', { role: 'status' });
    found.editor = element('div', { hidden: true }, element('label', { for: 'profile-text', class: 'label' }, 'The profile'), found.path, found.text, found.report, found.bake = element('div', { class: 'card-box', hidden: true }),
      element('div', { class: 'row' }, page.field('Name', found.name, 'another name makes another profile'), found.save));
    return found.editor;
  }

  page.profilesView = {
    begin(view) {
      found.kinds = element('div', { class: 'row kinds' });
      found.list = element('div');
      page.fill(view, element('h1', {}, 'Shells, coatings, booths'), found.kinds, element('div', { class: 'bench' }, found.list, element('div', { class: 'outcome' }, found.questions = element('div'), editor())));
    },
    async show(rest) {
      const [wanted, name] = rest.split('/');
      kind = kinds.some(([one]) => one === wanted) ? wanted : 'shell';
      page.fill(found.kinds, kinds.map(([one, title]) => element('a', { href: '#profiles/' + one, class: 'tab', 'aria-current': one === kind ? 'true' : null }, title)));
      page.fill(found.questions);
      if (name === '+new') ask();
      else if (name) await open(name);
      else { opened = null; found.editor.hidden = true; }
      await list();
    },
  };
})(window.bakewright);
