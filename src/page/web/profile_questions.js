// SPDX-License-Identifier: Apache-2.0
'use strict';
// A shell, booth or coating made of answers in words of the shop. The program reads each answer as it is typed and says how.
(function (page) {
  const { element } = page;

  /// @param take  gets the text and the name, once all is answered
  page.profileQuestions = function (target, kind, take) {
    const answers = {};
    const rows = {};   // by key: the question's element, its field and what was read
    const list = element('div');
    const outcome = element('div', { role: 'status' });
    const beside = element('div', { class: 'card-box', hidden: true });
    const bake = page.profileBake(beside, kind);
    let waiting = 0;
    let asked = 0;
    let made = null;   // {text, name}
    const taken = element('button', { type: 'button', class: 'main', disabled: true, onclick: () => {
      // Another one can be asked for from the same link.
      window.history.replaceState(null, '', '#profiles/' + kind);
      take(made.text, made.name);
    } }, 'Look at it and save');

    function row(question) {
      const said = element('span', { class: 'hint', id: 'said-' + question.key });
      const words = element('datalist', { id: 'words-' + question.key }, question.words.map((word) => element('option', { value: word })));
      const field = element('input', { type: 'text', id: 'question-' + question.key, maxlength: '400', list: 'words-' + question.key, autocomplete: 'off',
        placeholder: question.usual || (question.needed ? 'needed' : 'left open'), 'aria-describedby': 'said-' + question.key,
        oninput: (event) => {
          answers[question.key] = event.target.value;
          clearTimeout(waiting);
          waiting = setTimeout(send, 250);
        } });
      const hint = [question.help, question.help ? '' : question.words.join(', ')].filter((part) => part).join(' ');
      return { field, said, all: element('div', { class: 'row' }, page.field(question.asks, field, hint), words, said) };
    }

    /// Fields that are there stay, so that who types is not disturbed.
    function show(questions) {
      const wanted = questions.map((question) => question.key);
      for (const question of questions) {
        if (!rows[question.key]) rows[question.key] = row(question);
        rows[question.key].field.placeholder = question.usual || (question.needed ? 'needed' : 'left open');
      }
      const there = Array.from(list.children);
      const all = wanted.map((key) => rows[key].all);
      if (there.length !== all.length || all.some((one, at) => one !== there[at])) {
        const focused = document.activeElement;
        list.replaceChildren(...all);
        if (focused && list.contains(focused)) focused.focus();
      }
      for (const key of Object.keys(rows)) if (!wanted.includes(key)) delete answers[key];
    }

    function tell(answer) {
      for (const key of Object.keys(rows)) { page.fill(rows[key].said); rows[key].field.removeAttribute('aria-invalid'); }
      const problem = answer.problem;
      if (problem && rows[problem.key]) {
        const at = rows[problem.key];
        at.field.setAttribute('aria-invalid', 'true');
        const isWhole = problem.meant && problem.meant.startsWith(at.field.value);
        page.fill(at.said, problem.message, isWhole ? element('button', { type: 'button', class: 'pick', onclick: () => {
          at.field.value = answers[problem.key] = problem.meant;
          send();
        } }, problem.meant) : null);
      }
      const built = answer.built;
      made = built ? { text: built.text, name: built.name } : null;
      taken.disabled = !made;
      if (made) bake.show(made.text);
      else bake.hide();
      if (!built) { page.fill(outcome, element('p', { class: 'hint' }, problem ? problem.message : 'Fields marked needed are still open.')); return; }
      for (const read of built.understood) if (rows[read.key]) page.fill(rows[read.key].said, '= ' + read.said);
      page.fill(outcome,
        kind === 'shell' ? element('p', {}, built.painted_area_m2.toFixed(1) + ' m² painted, ' + Math.round(built.mass_kg) + ' kg of parts; closed area by the sizes ' +
          built.closed_area_m2.toFixed(1) + ' m², by the parts ' + built.parts_area_m2.toFixed(1) + ' m²') : null,
        built.doubts.length ? element('div', {}, element('p', { class: 'headline' }, page.badge('CHECK')), page.list(built.doubts.map((doubt) => doubt.question))) : null,
        built.assumed.length ? element('details', {}, element('summary', {}, built.assumed.length + ' assumed'),
          page.list(built.assumed.map((one) => one.what + ': ' + one.value + (one.range ? ', ' + one.range : '') + (one.find_out ? '. To settle it: ' + one.find_out : '')))) : null);
    }

    async function send() {
      const mine = ++asked;
      try {
        const answer = await page.post('/api/profiles/' + kind + '/questions', { answers });
        if (mine !== asked) return;
        show(answer.questions);
        tell(answer);
        page.showProblems([]);
      } catch (error) {
        page.showProblems(error.problems || [{ message: error.message }]);
      }
    }

    page.fill(target, element('h2', {}, 'A new ' + kind), list, outcome, element('div', { class: 'row' }, taken), beside);
    send();
  };
})(window.bakewright);
