'use strict';
// The lanes under the chart and the drawing of the shell, which pick for one another and for the chart.
(function (page) {
  const { element } = page;
  const drawn = new WeakMap();  // by the parts of a view: its lanes and drawing

  const clockOf = (options) => (options.startClock === undefined ? null : options.startClock);

  // A prepared bake has both beside its verdict, a kept one in its report.
  const part = (answer, name) => answer[name] || (answer.report && answer.report[name]);

  function lanes(found, answer, options) {
    const course = part(answer, 'course');
    if (!course) { page.fill(found.lanes); return null; }
    const chart = found.chartObject;
    const at = chart.place || { left: 48, right: 8 };
    const range = at.range || [course.from_s, course.until_s];
    return page.drawLanes(found.lanes, course, { from_s: range[0], to_s: range[1], startClock: clockOf(options), left: at.left, right: at.right,
      width: at.width, titles: part(answer, 'titles'), selected: options.selected, onPick: options.onPick });
  }

  function words(answer) {
    const verdict = answer.verdict || (answer.report && answer.report.verdicts[0]);
    return Object.fromEntries((verdict ? verdict.zones : []).map((zone) => [zone.zone, zone.word]));
  }

  function shell(found, answer, options) {
    const drawing = part(answer, 'drawing');
    if (!drawing) { page.fill(found.drawing, element('p', { class: 'hint' }, 'This bake was kept without a shell.')); return null; }
    return page.drawShell(found.drawing, drawing, { verdicts: words(answer), selected: options.selected, onPick: options.onPick });
  }

  /// @param found  parts of a view: lanes, drawing, chartObject
  page.drawPictures = function (found, answer, options) {
    const before = drawn.get(found);
    if (before && before.answer === answer) {
      if (before.lanes) before.lanes.setSelected(options.selected);
      if (before.shell) before.shell.setSelected(options.selected);
      return;
    }
    const pictures = { answer, lanes: lanes(found, answer, options), shell: shell(found, answer, options) };
    drawn.set(found, pictures);
    if (found.key && page.drawPictureKey && !found.key.hasChildNodes()) page.drawPictureKey(found.key, { items: true });
    found.chartObject.onDrawn = (place) => {
      const now = drawn.get(found).lanes;
      if (!now) return;
      now.setLayout({ left: place.left, right: place.right, width: place.width });
      now.setRange(place.range[0], place.range[1]);
    };
    found.chartObject.onCursor = (time) => { const now = drawn.get(found).lanes; if (now) now.setCursor(time); };
  };
})(window.bakewright);
