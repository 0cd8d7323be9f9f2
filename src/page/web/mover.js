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
      this.number = element('input', { type: 'number', id, inputmode: 'decimal', onchange: () => this.take(this.number.value) });
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
    nudge(direction) { this.take(Number(this.number.value) + direction * this.made.step()); }
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
      const step = this.made.step();
      const shown = Math.round(this.made.toShown(this.host.setting[this.made.key]) / step) * step;
      this.number.min = least; this.number.max = most; this.number.step = step;
      this.number.value = Number(shown.toFixed(2));
      this.unit.textContent = this.made.unit();
    }
  }

  page.Mover = Mover;
})(window.bakewright);
