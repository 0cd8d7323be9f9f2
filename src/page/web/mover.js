// SPDX-License-Identifier: Apache-2.0
'use strict';
// A number of the cycle that is moved by buttons, keys or typing.
(function (page) {
  const { element } = page;

  /// One number that is moved: minus, the number itself, plus. A button that is held goes on; arrow keys step too.
  class Mover {
    /// @param made  {id, label, unit(), toShown, fromShown, least, most, step, key}
    /// @param host  {setting, remember(), moved()}: what is moved, and who is told before and after
    constructor(made, host) {
      this.made = made;
      this.host = host;
      const id = 'move-' + made.id;
      this.number = element('input', { type: 'number', id, inputmode: 'decimal', onchange: () => this.take(this.number.value), onkeydown: (event) => this.arrow(event) });
      this.unit = element('span', { class: 'unit' });
      this.node = element('div', { class: 'mover' }, element('label', { for: id, id: id + '-label' }, made.label, ' ', this.unit),
        element('div', { class: 'stepper' }, this.button('less', -1, '−'), this.number, this.button('more', 1, '+')));
    }
    button(what, direction, sign) {
      let timer = 0;
      const stop = () => { clearTimeout(timer); timer = 0; };
      const again = () => { this.nudge(direction); timer = setTimeout(again, 120); };
      return element('button', { type: 'button', class: 'step', 'aria-label': what + ': ' + this.made.label, onclick: (event) => { if (event.detail === 0) this.nudge(direction); },
        onpointerdown: (event) => { if (event.button !== 0) return; this.nudge(direction); stop(); timer = setTimeout(again, 450); },
        onpointerup: stop, onpointerleave: stop, onpointercancel: stop }, sign);
    }
    /// To the next whole step up or down: from 63 min to 65 or 60.
    nudge(direction) {
      const steps = Number(this.number.value) / this.made.step();
      this.take((direction > 0 ? Math.floor(steps + 1e-6) + 1 : Math.ceil(steps - 1e-6) - 1) * this.made.step());
    }
    arrow(event) {
      const direction = { ArrowUp: 1, ArrowDown: -1 }[event.key];
      if (direction === undefined) return;
      event.preventDefault();
      this.nudge(direction);
    }
    take(shown) {
      const value = Number(shown);
      if (!Number.isFinite(value) || shown === '') return this.show();
      const [least, most] = this.limits();
      this.host.remember();
      this.host.setting[this.made.key] = this.made.fromShown(Math.min(most, Math.max(least, value)));
      this.show();
      this.host.moved();
    }
    limits() { return [this.made.least(), this.made.most()]; }
    show() {
      const [least, most] = this.limits();
      // As it is set, whatever the steps: the headline says the same number.
      this.number.min = least; this.number.max = most; this.number.step = 'any';
      this.number.value = Number(this.made.toShown(this.host.setting[this.made.key]).toFixed(1));
      this.unit.textContent = this.made.unit();
    }
  }

  page.Mover = Mover;
})(window.bakewright);
