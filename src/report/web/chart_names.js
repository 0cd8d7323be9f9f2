// SPDX-License-Identifier: Apache-2.0
/* What is written on the chart of a bake report: the names of curves, limits and stages.
   put(element, attributes, text) adds an SVG element to the layer over the chart and returns it.
   look: {data, pairs, as in chart.js; tone(pair); ink, soft, paper: colours; gap: whether there is room beside the curves} */
(function () {
  'use strict';
  var LABEL_STEP = 15;

  window.nameOnChart = function (put, look, dygraph, area) {
    nameStages(put, look, dygraph, area);
    nameLimits(put, look, dygraph, area);
    if (look.gap) nameCurves(put, look, dygraph, area);
  };

  /* A name in isolation marks, so that its direction stays its own; cut by letters, never inside one. */
  function shortened(text, most) {
    var letters = Array.from(text);
    return '\u2068' + (letters.length > most ? letters.slice(0, most - 1).join('') + '\u2026' : text) + '\u2069';
  }

  function halo(put, look, attributes, text) {
    attributes.style = 'paint-order: stroke';
    attributes.stroke = look.paper;
    attributes['stroke-width'] = 4;
    attributes['stroke-linejoin'] = 'round';
    return put('text', attributes, text);
  }

  /* Pushes labels apart so that none covers another, keeping them inside the chart. */
  function spread(labels, top, bottom) {
    labels.sort(function (a, b) { return a.at - b.at; });
    labels.forEach(function (label, i) { label.y = Math.max(label.at, i ? labels[i - 1].y + LABEL_STEP : top); });
    for (var i = labels.length - 1; i >= 0; --i)
      labels[i].y = Math.min(labels[i].y, i + 1 < labels.length ? labels[i + 1].y - LABEL_STEP : bottom);
  }

  function lastSeen(series, window) {
    for (var i = series.t.length - 1; i >= 0; --i)
      if (series.t[i] <= window[1] && series.t[i] >= window[0] && series.v[i] !== null) return {t: series.t[i], v: series.v[i]};
    return null;
  }

  function nameCurves(put, look, dygraph, area) {
    var labels = [], window = dygraph.xAxisRange();
    look.pairs.forEach(function (pair) {
      if (!pair.shown) return;
      var end = lastSeen(pair.members[0], window);
      if (!end) return;
      var at = Math.min(Math.max(dygraph.toDomYCoord(end.v, 0), area.y), area.y + area.h);
      labels.push({pair: pair, at: at, x: dygraph.toDomXCoord(end.t)});
    });
    labels.length = Math.min(labels.length, Math.floor(area.h / LABEL_STEP) - 1);  // the others are named in the legend
    spread(labels, area.y + 6, area.y + area.h - 6);
    labels.forEach(function (label) {
      var right = area.x + area.w;
      // A short dash in the curve's own tone, and no line that could be read as a trace.
      put('path', {d: 'M' + (right + 8) + ' ' + label.y + 'h12', fill: 'none', stroke: look.tone(label.pair), 'stroke-width': 2});
      put('text', {x: right + 24, y: label.y + 4, fill: look.tone(label.pair), 'font-weight': label.pair.tone ? 400 : 600},
          shortened(label.pair.name, 24));
    });
  }

  function nameLimits(put, look, dygraph, area) {
    var range = dygraph.yAxisRange(0), taken = [];
    var above = look.data.limits.filter(function (limit) { return limit.value > range[1]; }).map(function (limit) { return limit.label; });
    if (above.length) {
      halo(put, look, {x: area.x + 6, y: area.y + 28, fill: look.ink}, '\u2191 above the chart: ' + shortened(above.join('; '), 90));
      taken.push(area.y + 28);
    }
    look.data.limits.forEach(function (limit) {
      if (limit.value > range[1] || limit.value < range[0]) return;
      var line = dygraph.toDomYCoord(limit.value, 0), y = line - 4 < area.y + 26 ? line + 13 : line - 4;  // clear of the stages
      while (taken.some(function (t) { return Math.abs(t - y) < 14; })) y += 1;
      taken.push(y);
      halo(put, look, {x: area.x + 6, y: y, fill: look.ink}, shortened(limit.label, 64));
    });
  }

  function nameStages(put, look, dygraph, area) {
    look.data.stages.forEach(function (stage) {
      var from = Math.max(dygraph.toDomXCoord(stage.from), area.x), to = Math.min(dygraph.toDomXCoord(stage.to), area.x + area.w);
      if (to - from < 7 * stage.name.length) return;
      halo(put, look, {x: (from + to) / 2, y: area.y + 12, fill: look.soft, 'text-anchor': 'middle'}, stage.name);
    });
  }
})();
