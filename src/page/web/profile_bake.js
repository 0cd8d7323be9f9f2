// SPDX-License-Identifier: Apache-2.0
'use strict';
// Beside a profile that is edited: a bake with it as it stands now, and in thin grey as it stood before the last change.
(function (page) {
  const { element, units } = page;
  const others = { shell: ['booth', 'coating'], booth: ['shell', 'coating'], coating: ['shell', 'booth'] };
  const lists = { shell: 'shells', booth: 'booths', coating: 'coatings' };
  const kept = (key) => { try { return localStorage.getItem('prepare-' + key) || ''; } catch (error) { return ''; } };

  /// @param kind  shell, booth or coating: which of the three the text is of
  /// @returns {show(text), hide()}
  page.profileBake = function (target, kind) {
    const asked = { setpoint_k: 333.15, hold_s: 3600 };
    for (const other of others[kind]) {
      const good = page.shop[lists[other]].filter((one) => one.good !== false);
      asked[other] = (good.find((one) => one.name === kept(other)) || good[0] || { name: '' }).name;
    }
    let text = '';
    let shown = null;   // the answer to the text as it is
    let before = null;  // and as it was
    let number = 0;
    const said = element('div', { role: 'status' });
    const holder = element('div');
    const chart = new page.TemperatureChart(holder, () => {});
    const degrees = element('input', { type: 'number', step: '1', min: '0', onchange: (event) => { asked.setpoint_k = units.toKelvin(Number(event.target.value)); ask(); } });
    const minutes = element('input', { type: 'number', step: '5', min: '1', max: '1440', onchange: (event) => { asked.hold_s = 60 * Number(event.target.value); ask(); } });
    const numbers = () => { degrees.value = Math.round(units.fromKelvin(asked.setpoint_k)); minutes.value = Math.round(asked.hold_s / 60); };
    numbers();
    units.onChange(() => { numbers(); draw(); });
    const choices = others[kind].map((other) => page.field(other[0].toUpperCase() + other.slice(1), page.choice(page.shop[lists[other]], asked[other], (name) => { asked[other] = name; ask(); })));
    page.fill(target, element('h2', {}, 'A bake with it'), said, element('div', { class: 'row' }, choices, page.field('Set point', degrees), page.field('Hold, min', minutes)), holder);

    const titleOf = (name) => (shown.titles || {})[name] || name;

    function words() {
      const last = shown.course && shown.course.zones.find((lane) => lane.spans.length);
      const was = before && last && before.course && before.course.zones.find((lane) => lane.zone === last.zone);
      const changed = was && was.cured_from_s !== null && last.cured_from_s !== null ? Math.round((last.cured_from_s - was.cured_from_s) / 60) : null;
      page.fill(said, element('p', { class: 'headline' }, page.badge(shown.verdict.worst), element('span', {}, last ? 'Slowest: ' + titleOf(last.zone) +
        (last.cured_from_s === null ? ', not good by the end.' : ', good at ' + units.moment(last.cured_from_s) + ' after the start' + (changed ? ', ' + Math.abs(changed) + ' min ' + (changed > 0 ? 'later' : 'sooner') + ' than before the change.' : '.')) : '')),
        element('p', { class: 'hint' }, 'On best guesses. Prepare says how sure it is.'));
    }

    function draw() {
      if (!shown || !holder.isConnected) return;
      const seen = (answer) => answer.prediction.traces.filter((trace) => ['zone', 'test_panel', 'booth_air'].includes(trace.role));
      const now = seen(shown);
      const strong = page.strongCurves(now, shown.course, shown.verdict);
      const old = before ? seen(before).filter((trace) => strong.has(trace.name) && trace.role !== 'booth_air').map((trace) => ({ trace: { ...trace, name: trace.name + ' before' }, kind: 'predicted' })) : [];
      chart.titles = shown.titles;
      chart.draw([...now.filter((trace) => strong.has(trace.name)).map((trace) => ({ trace, kind: 'predicted' })), ...old], shown.lines, null, null, { strong, stages: shown.prediction.stages });
      words();
    }

    async function ask() {
      const mine = ++number;
      const body = { setpoint_k: asked.setpoint_k, hold_s: asked.hold_s, [kind + '_text']: text };
      for (const other of others[kind]) body[other] = asked[other];
      try {
        const answer = await page.post('/api/prepare', body);
        if (mine !== number || !holder.isConnected) return;  // another profile is looked at by now
        shown = answer;
        draw();
      } catch (error) {
        if (mine !== number || !holder.isConnected) return;
        shown = null;
        chart.clear();
        page.fill(said, element('p', { class: 'hint' }, 'No bake with it as it stands: ' + page.problemLines(error.problems || [{ message: error.message }])[0]));
      }
    }

    return {
      /// A text that has no mistakes.
      show(next) {
        target.hidden = false;
        if (next === text) { chart.resize(); return; }
        if (text !== '' && shown) before = shown;
        text = next;
        ask();
      },
      /// With a mistake in it there is nothing to bake.
      hide() { target.hidden = true; },
    };
  };
})(window.bakewright);
