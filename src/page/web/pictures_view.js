// SPDX-License-Identifier: Apache-2.0
'use strict';
// The lanes under the chart and the drawing of the shell, which pick for one another and for the chart.
(function (page) {
  const { element } = page;
  const drawn = new WeakMap();  // by the parts of a view: its lanes and drawing
  const mostLanes = 12;

  const clockOf = (options) => (options.startClock === undefined ? null : options.startClock);

  // A prepared bake has both beside its verdict, a kept one in its report.
  const part = (answer, name) => answer[name] || (answer.report && answer.report[name]);

  /// All items, every zone that is not good, and the last zones to be good; how many are left out.
  function fewer(course) {
    const room = Math.max(3, mostLanes - course.items.length);
    if (course.zones.length <= room) return { course, more: [] };
    const isGood = (lane) => lane.word === 'GOOD';
    const bad = course.zones.filter((lane) => !isGood(lane));
    const good = course.zones.filter(isGood);
    const kept = [...bad, ...good.slice(0, Math.max(0, room - bad.length))];
    return { course: { ...course, zones: course.zones.filter((lane) => kept.includes(lane)) }, more: course.zones.filter((lane) => !kept.includes(lane)) };
  }

  function lanes(found, answer, options) {
    const all = part(answer, 'course');
    if (!all) { page.fill(found.lanes); return null; }
    const { course, more } = fewer(all);
    const chart = found.chartObject;
    const at = chart.place || { left: 48, right: 8 };
    const range = at.range || [course.from_s, course.until_s];
    const holder = element('div');
    page.fill(found.lanes, holder, more.length ? element('p', { class: 'hint' }, '+ ' + more.length + ' zones, all good before these.') : null);
    const picture = page.drawLanes(holder, course, { from_s: range[0], to_s: range[1], startClock: clockOf(options), left: at.left, right: at.right,
      width: at.width, titles: part(answer, 'titles'), selected: options.selected, onPick: options.onPick });
    return picture;
  }

  function words(answer) {
    const verdict = answer.verdict || (answer.report && answer.report.verdicts[0]);
    return Object.fromEntries((verdict ? verdict.zones : []).map((zone) => [zone.zone, zone.word]));
  }

  /// A side that shows nothing another of its length does not show is told in words. @param withBare  what is not painted counts too
  function withoutTwins(drawing, withBare) {
    const zonesOf = (view) => new Set(view.zones.filter((zone) => (withBare ? !zone.strip_of : zone.coated)).map((zone) => zone.zone));
    const isShownBy = (view, other) => view !== other && Math.abs(view.width_m - other.width_m) < 1e-6 && Math.abs(view.height_m - other.height_m) < 1e-6 &&
      [...zonesOf(view)].every((zone) => zonesOf(other).has(zone)) && (zonesOf(other).size > zonesOf(view).size || drawing.views.indexOf(other) < drawing.views.indexOf(view));
    const bare = drawing.views.filter((view) => zonesOf(view).size === 0);
    const twins = drawing.views.filter((view) => !bare.includes(view) && drawing.views.some((other) => isShownBy(view, other)));
    const titles = (views) => views.map((view) => view.title).join(', ');
    const words = [twins.length ? titles(twins) + (withBare ? ': the same parts as the side drawn.' : ': the same zones as the side drawn.') : '', bare.length ? titles(bare) + ': not painted.' : ''].filter((one) => one).join(' ');
    return { drawing: { ...drawing, views: drawing.views.filter((view) => !twins.includes(view) && !bare.includes(view)) }, words };
  }

  page.withoutTwins = withoutTwins;

  function shell(found, answer, options) {
    const all = part(answer, 'drawing');
    if (!all) { page.fill(found.drawing, element('p', { class: 'hint' }, 'This bake was kept without a shell.')); return null; }
    const { drawing, words: left } = withoutTwins(all);
    const holder = element('div');
    page.fill(found.drawing, holder, left ? element('p', { class: 'hint' }, left) : null);
    return page.drawShell(holder, drawing, { compact: true, verdicts: words(answer), selected: options.selected, onPick: options.onPick });
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
    // After a refusal the chart is drawn again before the pictures are.
    const lanesNow = () => (drawn.get(found) || {}).lanes;
    found.chartObject.onDrawn = (place) => {
      const now = lanesNow();
      if (!now) return;
      now.setLayout({ left: place.left, right: place.right, width: place.width });
      now.setRange(place.range[0], place.range[1]);
    };
    found.chartObject.onCursor = (time) => { const now = lanesNow(); if (now) now.setCursor(time); };
  };

  /// Nothing of another bake is left standing.
  page.clearPictures = function (found) {
    drawn.delete(found);
    for (const name of ['lanes', 'drawing']) if (found[name]) page.fill(found[name]);
  };
})(window.bakewright);
