'use strict';
// What must be out of a shell before heat. What is not answered stays NOT CHECKED, on the card too.
(function (page) {
  const { element } = page;
  const words = [['not_checked', 'NOT CHECKED'], ['out', 'out'], ['aboard', 'ABOARD']];

  /// Draws it with nothing answered.
  /// @param group     a name of its own for each checklist of the page
  /// @param onChange  called after each answer and once at first
  page.drawChecklist = function (target, group, onChange) {
    const given = new Map();
    const answerOf = (thing) => given.get(thing.thing) || 'not_checked';
    const things = (answer) => page.shop.checklist.filter((thing) => answerOf(thing) === answer);
    const names = (answer) => things(answer).map((thing) => thing.thing);
    const list = {
      /// Why there is no bake with what is aboard; empty where there may be one.
      refusal() {
        const blocking = things('aboard').filter((thing) => thing.blocks);
        return blocking.length === 0 ? '' : 'No bake with ' + blocking.map((thing) => thing.title).join(', ') + ' aboard.';
      },
      unanswered: () => things('not_checked').length,
      /// As a card is asked with.
      answers: () => ({ checked: names('out'), aboard: names('aboard') }),
    };
    const rows = page.shop.checklist.map((thing) => element('fieldset', { class: 'check' },
      element('legend', {}, element('b', {}, thing.title), ' ', element('span', { class: 'hint' }, thing.why)),
      words.map(([value, text]) => element('label', { class: 'box' }, element('input', { type: 'radio', name: group + '-check-' + thing.thing, value,
        checked: answerOf(thing) === value, onchange: () => { given.set(thing.thing, value); onChange(list); } }), element('span', {}, text)))));
    page.fill(target, element('div', { class: 'checks' }, rows));
    onChange(list);
  };

  /// Where a card is: a page of its own, asked with a task in its address. @param number  of a bake of the book, or empty
  page.cardAddress = (number, task) => '/card' + (number === '' ? '' : '/' + number) + '?task=' + encodeURIComponent(JSON.stringify(task));
})(window.bakewright);
