// SPDX-License-Identifier: Apache-2.0
'use strict';
// What goes with a chart of temperatures: the strip of stages under its curves, and the strong curves as a table.
(function (page) {
  const { element, units } = page;

  const words = {
    flash_off: (stage) => ['flash-off ' + units.duration(stage.end_s - stage.begin_s), 'flash-off'],
    purge: (stage) => ['purge ' + units.duration(stage.end_s - stage.begin_s), 'purge'],
    ramp: (stage) => ['ramp to ' + units.temperature(stage.end_setpoint_k), 'ramp'],
    hold: (stage) => ['hold ' + units.temperature(stage.end_setpoint_k) + ', ' + units.duration(stage.end_s - stage.begin_s), 'hold ' + units.duration(stage.end_s - stage.begin_s), 'hold'],
    cool: (stage, startMinutes) => ['cool from ' + units.moment(stage.begin_s, startMinutes), 'cool'],
  };

  /// The stages as boxes under the curves, as far as they are seen.
  /// @param place  of the chart: {left, right, width, range: [from, to] in seconds}
  page.stageStrip = function (strip, stages, place, startMinutes) {
    const [from, to] = place.range;
    const scale = (place.width - place.left - place.right) / (to - from);
    const seen = stages.filter((stage) => stage.end_s > from && stage.begin_s < to && words[stage.kind]);
    page.fill(strip, seen.map((stage) => {
      const left = place.left + (Math.max(stage.begin_s, from) - from) * scale;
      const room = (Math.min(stage.end_s, to) - Math.max(stage.begin_s, from)) * scale;
      const all = words[stage.kind](stage, startMinutes);
      const box = element('li', { class: 'stage ' + stage.kind, title: all[0] }, element('span', {}, all.find((text) => 6.6 * text.length + 8 < room) || ''));
      box.style.left = left.toFixed(1) + 'px';
      box.style.width = Math.max(0, room - 1).toFixed(1) + 'px';
      if (!box.textContent) box.setAttribute('aria-label', all[0]);
      return box;
    }));
    strip.hidden = seen.length === 0;
  };

  const every = 600;

  /// The strong curves every ten minutes.
  /// @param named  [{name, trace}]  @param valueAt  of a trace at a moment
  page.curveTable = function (named, titles, range, startMinutes, valueAt) {
    const rows = [];
    for (let time = Math.ceil(range[0] / every) * every; time <= range[1]; time += every)
      rows.push(element('tr', {}, element('th', { scope: 'row' }, units.moment(time, startMinutes)), named.map((one) => {
        const k = valueAt(one.trace, time);
        return element('td', { class: 'number' }, k === null ? '–' : units.fromKelvin(k).toFixed(1));
      })));
    return element('div', { class: 'scroll', tabindex: '0', role: 'region', 'aria-label': 'The chart as a table' }, element('table', {},
      element('caption', {}, 'Every 10 minutes, ' + units.symbol), element('thead', {}, element('tr', {}, element('th', { scope: 'col' }, 'Time'),
        named.map((one) => element('th', { scope: 'col', class: 'number' }, titles[one.name] || one.name)))), element('tbody', {}, rows)));
  };
})(window.bakewright);
