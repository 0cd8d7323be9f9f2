// SPDX-License-Identifier: Apache-2.0
'use strict';
// What must be out of a shell before heat. What is not answered stays NOT CHECKED, on the card too.
(function (page) {
  const { element } = page;

  /// Draws it with nothing answered. Each thing is answered by itself, with the answers that it may have.
  /// @param group     a name of its own for each checklist of the page
  /// @param onChange  called after each answer and once at first
  page.drawChecklist = function (target, group, onChange) {
    const given = new Map();
    const answerOf = (thing) => given.get(thing.thing) || thing.answers[0];
    const things = (answer) => page.shop.checklist.filter((thing) => answerOf(thing).answer === answer);
    const names = (answer) => things(answer).map((thing) => thing.thing);
    const list = {
      /// Why there is no bake with what is still in; empty where there may be one.
      refusal() {
        const blocking = page.shop.checklist.filter((thing) => answerOf(thing).blocks);
        return blocking.length === 0 ? '' : 'No plan and no card with this still in: ' + blocking.map((thing) => thing.title + ' (' + thing.why + ')').join('; ') + '.';
      },
      /// The first line of what a painter takes to the booth; empty where everything is answered.
      open() {
        const open = things('not_checked');
        if (open.length === page.shop.checklist.length) return 'NOT CHECKED: ' + open.length + ' things that must be out of the shell before any heat.';
        return open.length === 0 ? '' : 'NOT CHECKED: ' + open.map((thing) => thing.title).join(', ') + '.';
      },
      unanswered: () => things('not_checked').length,
      /// As a card is asked with.
      answers: () => ({ checked: names('out'), aboard: names('aboard'), written_limit: names('written_limit'), gas_free: names('gas_free') }),
    };
    const rows = page.shop.checklist.map((thing) => element('fieldset', { class: 'check' },
      element('legend', {}, element('b', {}, thing.title), ' ', element('span', { class: 'hint' }, thing.why)),
      thing.answers.map((answer) => element('label', { class: 'box' }, element('input', { type: 'radio', name: group + '-check-' + thing.thing, value: answer.answer,
        checked: answerOf(thing) === answer, onchange: () => { given.set(thing.thing, answer); onChange(list); } }), element('span', {}, answer.text)))));
    page.fill(target, element('div', { class: 'checks' }, rows));
    onChange(list);
  };

  /// Where a card is: a page of its own, asked with a task in its address. @param number  of a bake of the book, or empty
  page.cardAddress = (number, task) => '/card' + (number === '' ? '' : '/' + number) + '?task=' + encodeURIComponent(JSON.stringify(task));
})(window.bakewright);
