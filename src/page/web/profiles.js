// SPDX-License-Identifier: Apache-2.0
'use strict';
// The shop's shells, coatings and booths: a shell on its drawing, each as text, checked while it is typed. TOML stays what counts.
(function (page) {
  const { element } = page;
  const found = {};
  const kinds = [['shell', 'Shells'], ['coating', 'Coatings'], ['booth', 'Booths'], ['cycle', 'Cycles'], ['material', 'Materials'], ['probes', 'Probe records']];
  let kind = 'shell';
  let opened = null;   // {name, path, isOwn, title}; without a name where it was never saved
  let edits = null;    // what was done to its text
  let editor = null;   // of a shell: its drawing
  let bake = null;     // what a bake with the text comes to, beside it
  let waiting = 0;
  let asked = 0;
  let isStill = false; // the text is put in, not typed
  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);
  const isSeen = () => edits !== null && !document.getElementById('view-profiles').hidden;

  async function list() {
    const answer = await page.get('/api/profiles/' + kind);
    const isAsked = ['shell', 'booth', 'coating'].includes(kind);
    const isOpen = !edits || innerWidth > 900;
    page.fill(found.list, element('details', { class: 'fold', open: isOpen }, element('summary', {}, kinds.find(([one]) => one === kind)[1] + ': ' + answer.profiles.length),
      isAsked ? element('p', {}, element('a', { class: 'button', href: '#profiles/' + kind + '/+new' }, 'New ' + kind + ' by questions')) : null,
      element('ul', { class: 'names' }, page.unsavedProfiles(kind).map((name) => element('li', {}, element('a', { href: '#profiles/' + kind + '/' + name, 'aria-current': edits && !opened.name && found.name.value === name ? 'true' : null },
        element('b', {}, name), element('span', { class: 'hint' }, 'not saved yet')))), answer.profiles.map((profile) => element('li', {}, element('a', {
        href: '#profiles/' + kind + '/' + profile.name, 'aria-current': opened && opened.name === profile.name ? 'true' : null },
        element('b', {}, profile.title), element('span', { class: 'hint' }, profile.name + (profile.is_own ? ', the shop\u2019s own' : '') +
          (profile.mistakes ? ', ' + profile.mistakes + ' mistakes' : ''))))))));
  }

  // --- opening

  function begin(name, saved, path, isOwn) {
    opened = { name: saved.sha256 ? name : null, path, isOwn, title: name };
    edits = page.profileEdits(kind, name, saved, changed);
    page.fill(found.versions);
    page.fill(found.bake);
    page.fill(found.drawing);
    bake = ['shell', 'booth', 'coating'].includes(kind) ? page.profileBake(found.bake, kind) : null;
    editor = kind === 'shell' ? page.shellEditor(found.drawing, () => edits.text, (text) => edits.change(text)) : null;
    found.boothLog.hidden = kind !== 'booth';
    found.boothLog.open = false;
    if (kind === 'booth') page.boothLog(found.boothLog, () => ({ text: edits.text, name: found.name.value || 'booth' }), (text) => edits.change(text));
    found.bake.hidden = found.drawing.hidden = true;
    found.fold.open = kind !== 'shell';
    found.editor.insertBefore(found.bake, kind === 'shell' ? found.fold : null);  // under the drawing, or under the text
    found.name.value = name;
    found.editor.hidden = false;
    page.fill(found.path, path);
  }

  async function open(name) {
    if (page.unsavedProfiles(kind).includes(name)) {
      begin(name, { text: '', sha256: null }, 'not saved yet');
    } else {
      const answer = await page.get('/api/profiles/' + kind + '/' + encodeURIComponent(name));
      begin(name, { text: answer.text, sha256: answer.sha256 }, answer.path, answer.is_own);
    }
    const back = edits.bringBack();
    if (back && opened.name) page.fill(found.versions, element('p', { class: 'block' }, 'Changes of ' + back.at.toTimeString().slice(0, 5) + ' that were not saved are back. ' +
      (back.isOfOther ? 'The file has changed since. ' : '') + 'Undo shows the file as it is.'));
    changed();
    await check();
  }

  /// A new one of answers: the form stands in place of the text until its text is taken.
  function ask() {
    close();
    page.profileQuestions(found.questions, kind, async (text, name) => {
      page.fill(found.questions);
      begin(name, { text, sha256: null }, 'not saved yet');
      window.history.replaceState(null, '', '#profiles/' + kind + '/' + name);
      changed();
      await check();
      await list();
      found.save.focus();
    });
  }

  function close() {
    opened = edits = editor = bake = null;
    found.editor.hidden = true;
  }

  // --- changing

  /// After every step, typed or drawn, forward or back.
  function changed(next) {
    if (found.text.value !== edits.text && !isStill) found.text.value = edits.text;
    found.undo.disabled = !edits.canUndo;
    found.redo.disabled = !edits.canRedo;
    found.unsaved.hidden = !edits.isChanged;
    for (const [button, isFit] of [[found.copy, opened.name], [found.rename, opened.name && opened.isOwn && !edits.isChanged], [found.remove, opened.name && opened.isOwn]]) button.disabled = !isFit;
    if (next === undefined || isStill) return;
    clearTimeout(waiting);
    check();
  }

  async function check() {
    const mine = ++asked;
    const text = edits.text;
    try {
      const answer = await page.post('/api/profiles/' + kind + '/check', { text, name: found.name.value || 'new' });
      if (mine !== asked || !edits) return;
      tell(answer.profiles[0], text);
    } catch (error) {
      failed(error);
    }
  }

  function tell(report, text) {
    found.save.disabled = !report.good;
    opened.title = report.title || found.name.value;
    page.fill(found.title, opened.title);
    if (bake && report.good) bake.show(text);
    else if (bake) bake.hide();
    if (editor && report.good) editor.show(text).catch(failed);
    else if (editor) editor.hide();
    if (!report.good) found.fold.open = true;
    const problems = report.problems.map((problem) => element('li', {}, element('button', { type: 'button', class: 'pick', onclick: () => goTo(problem.line) },
      problem.line ? 'line ' + problem.line : 'the file'), ' ' + [problem.key, problem.message].filter((part) => part).join(': ')));
    const odd = report.notes.filter((note) => /^(CHECK|answers):/.test(note));
    const rest = report.notes.filter((note) => !odd.includes(note));
    page.fill(found.report, element('p', { class: 'headline' }, report.good ? element('span', { class: 'word calm' }, 'No mistakes')
      : element('span', { class: 'word alarm' }, report.problems.length === 1 ? '1 mistake' : report.problems.length + ' mistakes')),
    problems.length ? element('ul', { class: 'plain' }, problems) : null,
    odd.length ? page.list(odd) : null,
    rest.length ? element('details', {}, element('summary', {}, rest.length + ' notes: numbers without a source, defaults that were used'), page.list(rest)) : null);
    page.say(report.good ? 'no mistakes' : report.problems.length + ' mistakes');
  }

  function goTo(line) {
    const lines = found.text.value.split('\n');
    const from = lines.slice(0, Math.max(0, line - 1)).join('\n').length + (line > 1 ? 1 : 0);
    found.fold.open = true;
    found.text.focus();
    found.text.setSelectionRange(from, from + (lines[line - 1] || '').length);
    found.text.scrollTop = Math.max(0, (line - 6) * parseFloat(getComputedStyle(found.text).lineHeight));
  }

  /// A field that was typed into takes its own letters back first; everything else is the profile's.
  function keys(event) {
    if (!isSeen() || !(event.ctrlKey || event.metaKey) || document.querySelector('dialog[open]')) return;
    const key = event.key.toLowerCase();
    const field = event.target;
    const isTyping = field.matches && field.matches('input[data-was]') && field.value !== field.dataset.was;
    if ((key !== 'z' && key !== 'y') || isTyping || field === found.name) return;
    event.preventDefault();
    if (key === 'y' || event.shiftKey) edits.redo();
    else edits.undo();
  }

  // --- keeping

  async function save() {
    const name = found.name.value;
    const text = edits.text;
    try {
      const saved = await page.post('/api/profiles/' + kind + '/' + encodeURIComponent(name) + '/save',
        { text, sha256_before: opened.name === name ? edits.base.sha256 : undefined });
      page.showProblems([]);
      page.fill(found.versions);
      Object.assign(opened, { name, path: saved.path, isOwn: true });
      edits.saved({ text, sha256: saved.sha256 }, name);
      window.history.replaceState(null, '', '#profiles/' + kind + '/' + encodeURIComponent(name));
      changed();
      page.fill(found.path, 'saved in ' + saved.path + (saved.goes_before ? '; ' + saved.goes_before + ' goes before it' : ''));
      page.say('saved');
      await listAnew();
    } catch (error) {
      if (error.status === 409) conflict(error.answer.problems[0].message, error.answer);
      else failed(error);
    }
  }

  async function listAnew() {
    await page.readShop();
    await list();
  }

  /// @param there  {sha256, there, yours}: what the file has now
  function conflict(said, there) {
    page.twoVersions(found.versions, said, there.there ? there : null, {
      async keepMine() {
        await baseOnFile();
        found.save.focus();
      },
      async takeOther() { edits.change(await baseOnFile()); },  // one step: Undo brings mine back
    });
  }

  /// What is changed here goes over the file as it is now, whose text is returned.
  async function baseOnFile() {
    const answer = await page.get('/api/profiles/' + kind + '/' + encodeURIComponent(found.name.value));
    Object.assign(opened, { name: found.name.value, path: answer.path, isOwn: answer.is_own });
    edits.saved({ text: answer.text, sha256: answer.sha256 }, opened.name);
    changed();
    return answer.text;
  }

  /// Back in this window: another may have saved meanwhile.
  async function lookAgain() {
    if (!isSeen() || !opened.name || document.hidden) return;
    const { name } = opened;
    const { sha256 } = edits.base;
    try {
      const answer = await page.get('/api/profiles/' + kind + '/' + encodeURIComponent(name));
      if (!edits || opened.name !== name || edits.base.sha256 !== sha256 || answer.sha256 === sha256 || found.versions.querySelector('.block button')) return;
      if (edits.isChanged) { conflict('This profile was saved in another window since you opened it.', { sha256: answer.sha256 }); return; }
      edits.saved({ text: answer.text, sha256: answer.sha256 });
      edits.change(answer.text);
      page.fill(found.versions, element('p', { class: 'block' }, 'Saved in another window: this is what it is now.'));
    } catch (error) {
      page.fill(found.versions, element('p', { class: 'block' }, 'The file is gone: it was renamed or deleted elsewhere. Saving makes it again.'));
      edits.saved({ text: null, sha256: null });
      opened.name = null;
      changed();
    }
  }

  const asProfile = () => ({ kind, name: opened.name, title: opened.title, sha256: edits.base.sha256, isChanged: edits.isChanged });

  /// On to the profile by its new name, or to the copy.
  async function moved(answer, said) {
    await page.readShop();
    window.history.replaceState(null, '', '#profiles/' + kind + '/' + answer.name);
    await open(answer.name);
    await list();
    page.say(said);
  }

  async function deleted() {
    const { name } = opened;
    const text = edits.base.text;
    edits.forget();
    close();
    window.history.replaceState(null, '', '#profiles/' + kind);
    page.fill(found.questions, element('div', { class: 'block', role: 'status' }, element('p', {}, name + ' is deleted. Bakes in the book keep what they used.'),
      element('button', { type: 'button', onclick: async () => {
        try {
          await page.post('/api/profiles/' + kind + '/' + encodeURIComponent(name) + '/save', { text });
          await page.readShop();
          page.go('profiles/' + kind + '/' + name);
        } catch (error) { failed(error); }
      } }, 'Put it back')));
    found.questions.querySelector('button').focus();
    await listAnew();
  }

  // --- what is seen

  function head() {
    const button = (words, deed, more) => element('button', { type: 'button', onclick: deed, ...more }, words);
    found.name = element('input', { type: 'text', maxlength: '60', id: 'profile-name', 'aria-label': 'Name of its file; another name makes another profile', title: 'Name of its file; another name makes another profile', pattern: '[A-Za-z0-9_\\-]+' });
    found.save = button('Save as the shop\u2019s own', save, { class: 'main' });
    return element('div', { class: 'card-box profile-head' },
      element('div', {}, found.title = element('h2'), found.path = element('p', { class: 'hint' }), found.unsaved = element('p', { class: 'hint unsaved', hidden: true }, 'Changed, and not saved yet. This window keeps it until then.')),
      element('div', { class: 'row' },
        found.undo = button('Undo', () => edits.undo(), { title: 'Ctrl+Z' }), found.redo = button('Redo', () => edits.redo(), { title: 'Ctrl+Shift+Z' }),
        found.copy = button('Copy', () => page.copyProfile(asProfile(), (answer) => moved(answer, 'copied'))),
        found.rename = button('Rename', () => page.renameProfile(asProfile(), (answer) => moved(answer, 'renamed')), { title: 'Of what is saved' }),
        found.remove = button('Delete', () => page.deleteProfile(asProfile(), deleted)),
        element('div', { class: 'save' }, found.name, found.save)));
  }

  /// Tab leaves the text, as everywhere; two blanks are typed by hand.
  function wholeEditor() {
    found.text = element('textarea', { id: 'profile-text', 'aria-label': 'The profile as text', spellcheck: 'false', rows: '18', wrap: 'off', oninput: () => {
      isStill = true;
      edits.type(found.text.value);
      isStill = false;
      clearTimeout(waiting);
      waiting = setTimeout(check, 250);
    } });
    found.report = element('div', { role: 'status' });
    found.editor = element('div', { hidden: true, class: 'profile' }, head(), found.versions = element('div', { class: 'versions' }), found.drawing = element('div', { hidden: true, class: 'drawing' }),
      found.boothLog = element('details', { class: 'fold card-box booth-log', hidden: true }), found.bake = element('div', { class: 'card-box bake', hidden: true }),
      found.fold = element('details', { class: 'fold card-box' }, element('summary', {}, 'The profile as text'), found.text), found.report);
    return found.editor;
  }

  page.profilesView = {
    begin(view) {
      found.kinds = element('div', { class: 'row kinds' });
      found.list = element('div');
      page.fill(view, element('div', { class: 'row kinds-head' }, element('h1', {}, 'Shells, coatings, booths'), found.kinds), element('div', { class: 'bench profiles' }, found.list, element('div', { class: 'outcome' }, found.questions = element('div'), wholeEditor())));
      document.addEventListener('keydown', keys);
      window.addEventListener('focus', lookAgain);
      let width = innerWidth;
      window.addEventListener('resize', () => { if (innerWidth !== width && editor && isSeen()) { width = innerWidth; editor.redraw(); } });
    },
    async show(rest) {
      const [wanted, name] = rest.split('/');
      kind = kinds.some(([one]) => one === wanted) ? wanted : 'shell';
      page.fill(found.kinds, kinds.map(([one, title]) => element('a', { href: '#profiles/' + one, class: 'tab', 'aria-current': one === kind ? 'true' : null }, title)));
      page.fill(found.questions);
      if (name === '+new') ask();
      else if (name) await open(name);
      else close();
      await list();
    },
  };
})(window.bakewright);
