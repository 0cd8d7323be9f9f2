// SPDX-License-Identifier: Apache-2.0
'use strict';
// What few bakes need: a step held on the way up, a second hold, and the rest of a bake that was cut short.
(function (page) {
  const { element, units } = page;

  /// @param host  {setting, bounds, remember(), moved()}  @return {node, show(), finish(bake)}
  page.prepareMore = function (host) {
    const { setting, bounds } = host;
    const changed = () => { host.moved(true); };

    /// A set point and how long it is held; both empty: none.
    function stepFields(key, title) {
      const temperature = element('input', { type: 'number', step: 'any', onchange: () => take() });
      const minutes = element('input', { type: 'number', step: 'any', min: '1', max: '2880', onchange: () => take() });
      const label = element('span', {}, title);
      const take = () => {
        if (temperature.value === '' !== (minutes.value === '')) return;  // half of it is typed
        host.remember();
        setting[key] = temperature.value === '' ? [] : [{ setpoint_k: Math.min(units.toKelvin(Number(temperature.value)), bounds.highest_setpoint_k || Infinity), hold_s: Math.max(1, Number(minutes.value)) * 60 }];
        show();
        changed();
      };
      const show = () => {
        const [step] = setting[key];
        temperature.value = step ? Number(units.fromKelvin(step.setpoint_k).toFixed(1)) : '';
        minutes.value = step ? Number((step.hold_s / 60).toFixed(1)) : '';
        label.textContent = title + ', ' + units.symbol;
      };
      return { show, node: element('div', { class: 'row' }, element('label', { class: 'field' }, label, temperature), page.field('for, min', minutes)) };
    }

    const step = stepFields('steps', 'Held on the way up');
    const second = stepFields('second_holds', 'Second hold');
    const bake = element('input', { type: 'text', maxlength: '40', placeholder: 'number of a logged bake', onchange: () => cut() });
    const waited = element('input', { type: 'number', min: '0', step: 'any', onchange: () => cut() });
    const told = element('p', { class: 'hint' });
    function cut() {
      host.remember();
      setting.finish = bake.value.trim() || undefined;
      setting.waited_s = setting.finish ? Number(waited.value || 0) * 60 : undefined;
      if (setting.finish) setting.flash_off_s = 0;
      show();
      changed();
    }
    function show() {
      step.show();
      second.show();
      bake.value = setting.finish || '';
      waited.value = setting.finish ? Math.round((setting.waited_s || 0) / 60) : '';
      told.textContent = setting.finish ? 'What bake ' + setting.finish + ' gave counts; the cycle above is what is still to come, after its purge and without a new flash-off.' : '';
    }
    show();
    return {
      show,
      node: element('div', {}, step.node, second.node, element('div', { class: 'row' }, page.field('Finish bake', bake), page.field('waited since, min', waited)), told),
      finish(number) { if (setting.finish !== number) { bake.value = number; cut(); } },
    };
  };
})(window.bakewright);
