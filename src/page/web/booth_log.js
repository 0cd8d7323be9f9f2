// SPDX-License-Identifier: Apache-2.0
'use strict';
// Beside a booth that is edited: a log of one run of it with nothing inside, and what that tells of it.
(function (page) {
  const { element, units } = page;
  const places = ['', 'air', 'air at 0.3 m', 'air at 2 m', 'air at 4 m', 'wall', 'ceiling', 'floor', 'outside', 'set point'];
  const shownIn = (number, value) => (number.unit === 'K' ? (units.differenceFromKelvin(value).toFixed(1) + ' ' + units.differenceSymbol) : (Math.abs(value / number.si_per_unit) >= 1000 ? Math.round(value / number.si_per_unit) : Number((value / number.si_per_unit).toPrecision(3))) + (number.unit ? ' ' + number.unit : ''));
  const kelvins = { unit: 'K' };
  const range = (number, spread) => shownIn(number, spread.low) + ' to ' + shownIn(number, spread.high);

  /// @param current   gives {text, name} of the booth as it is edited
  /// @param onChange  told the text with what the log tells; one step, which Undo takes back
  page.boothLog = function (target, current, onChange) {
    let log = null;       // {number, channels}
    const told = element('div', { role: 'status' });
    const channels = element('div', { class: 'extents' });
    const file = element('input', { type: 'file', accept: '.csv,.txt,.tsv', id: 'booth-log-file', onchange: () => bring().catch(failed) });
    const set = element('input', { type: 'number', step: '1', id: 'booth-log-set' });
    const on = element('input', { type: 'number', step: '0.5', id: 'booth-log-on', placeholder: 'found in the log' });
    const off = element('input', { type: 'number', step: '0.5', id: 'booth-log-off', placeholder: 'found in the log' });
    const fans = element('input', { type: 'checkbox', id: 'booth-log-fans' });
    const go = element('button', { type: 'submit', disabled: true }, 'See what it tells');
    const form = element('form', { onsubmit: (event) => { event.preventDefault(); fit(); } }, page.field('The log, CSV', file), channels,
      element('div', { class: 'extents' }, page.field('Controller set to, ' + units.symbol, set), page.field('Heat on at, min', on), page.field('Heat off at, min', off)),
      element('label', { class: 'check' }, fans, ' The fans ran otherwise once the heat was off'), element('div', { class: 'row' }, go));
    page.fill(target, element('summary', {}, 'Bring in a log of the empty booth'),
      element('p', { class: 'hint' }, 'One run with nothing inside, cold at first: heat at full power to one setting, hold it 30 min, heat off, 20 min more with the fans as in a bake. A reading every 10 s of the air in the middle; better with air at knee height and overhead, a wall, the floor and outside.'),
      form, told);

    function failed(error) {
      page.fill(told, element('div', { class: 'block', role: 'alert' }, page.problemLines(error.problems || [{ message: error.message }]).map((line) => element('p', {}, line))));
    }

    /// What a column looks like by its name is offered; anything else can be typed.
    function guess(name) {
      const has = (...words) => words.some((word) => name.toLowerCase().includes(word));
      const height = /(\d+(?:[.,]\d+)?)\s*(mm|cm|m|ft|in)\b/i.exec(name);
      if (has('set')) return 'set point';
      if (has('outside', 'ambient', 'shop', 'hall')) return 'outside';
      if (has('wall')) return 'wall';
      if (has('air')) return height ? 'air at ' + height[1] + ' ' + height[2] : 'air';
      return has('ceiling') ? 'ceiling' : has('floor') ? 'floor' : '';
    }

    async function bring() {
      if (!file.files.length) return;
      page.fill(told);
      const { log: number } = await page.upload('/api/logs?name=' + encodeURIComponent(file.files[0].name), await file.files[0].arrayBuffer());
      const read = await page.post('/api/logs/' + number + '/read', {});
      const names = read.traces.traces.map((trace) => trace.name);
      log = { number };
      page.fill(channels, names.map((name, at) => {
        const list = element('datalist', { id: 'booth-log-places-' + at }, places.filter((one) => one).map((one) => element('option', { value: one })));
        return page.field(name + ' is', element('span', {}, element('input', { type: 'text', list: list.id, value: guess(name), 'data-channel': name, placeholder: 'left out' }), list));
      }));
      go.disabled = false;
      page.say(names.length + ' channels');
    }

    async function fit() {
      const map = [...channels.querySelectorAll('[data-channel]')].filter((one) => one.value.trim()).map((one) => one.dataset.channel + '=' + one.value.trim());
      const body = { ...current(), reading: { map } };
      if (set.value !== '') body.setpoint_k = units.toKelvin(Number(set.value));
      if (on.value !== '') body.heat_on_s = 60 * Number(on.value);
      if (off.value !== '') body.heat_off_s = 60 * Number(off.value);
      body.fans_change = fans.checked;
      try {
        const answer = await page.post('/api/logs/' + log.number + '/empty-booth', body);
        show(answer);
        onChange(answer.text);
      } catch (error) { failed(error); }
    }

    function show(answer) {
      const isTold = answer.numbers.filter((one) => one.told);
      page.fill(told, element('p', { class: 'headline' }, 'The booth misses the readings by ' + shownIn(kelvins, answer.now_k) + ' now; it missed them by ' + shownIn(kelvins, answer.before_k) + '. It stands in the profile; Undo takes it back.'),
        page.grid('Told by the log', ['number', 'before', 'now', '9 in 10 within'], isTold.map((one) => element('tr', {}, [one.name, shownIn(one, one.before.value), shownIn(one, one.now.value), range(one, one.now)].map((words) => element('td', {}, words))))),
        answer.numbers.length > isTold.length ? element('div', {}, element('h3', {}, 'What it could not tell'), page.list(answer.numbers.filter((one) => !one.told).map((one) => one.name + ': stays ' + shownIn(one, one.before.value) + ', ' + range(one, one.now) + '. To settle it: ' + one.told_by + '.'))) : null,
        answer.remarks.length ? page.list(answer.remarks) : null);
      page.say('the log is in');
    }
  };
})(window.bakewright);
