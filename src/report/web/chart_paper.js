// SPDX-License-Identifier: Apache-2.0
/* The chart of a bake report as lines for paper; see chart.js for the shape of the data.
   put(element, attributes) adds an SVG element to the layer over the chart and returns it. */
(function () {
  'use strict';

  /* On paper the whole chart is drawn as lines of this layer: browsers print a canvas coarsely, or not at all when it was just drawn. */
  window.drawOnPaper = function (put, data, ticks, dygraph, area) {
    var sheet = put('svg', {x: area.x, y: area.y, width: area.w, height: area.h,
                            viewBox: [area.x, area.y, area.w, area.h].join(' ')});
    var bottom = area.y + area.h, right = area.x + area.w;
    function x(time) { return dygraph.toDomXCoord(time).toFixed(1); }
    function y(value) { return dygraph.toDomYCoord(value, 0).toFixed(1); }
    function line(d, attributes) {
      Object.assign(attributes, {d: d, fill: 'none', stroke: '#000'});
      sheet.appendChild(put('path', attributes));
    }
    function across(value, attributes) { line('M' + area.x + ' ' + y(value) + 'H' + right, attributes); }
    function upright(time, attributes) { line('M' + x(time) + ' ' + area.y + 'V' + bottom, attributes); }
    ticks.y.forEach(function (tick) { across(tick.v, {'stroke-width': 0.25, 'stroke-opacity': 0.4}); });
    ticks.x.forEach(function (tick) { upright(tick.v, {'stroke-width': 0.25, 'stroke-opacity': 0.4}); });
    if (data.band) sheet.appendChild(put('rect', {x: area.x, y: y(data.band.high), width: area.w, fill: '#000', 'fill-opacity': 0.06,
                                                  height: y(data.band.low) - y(data.band.high)}));
    data.limits.forEach(function (limit) { across(limit.value, {'stroke-dasharray': '1 2', 'stroke-width': limit.kind === 'item' ? 0.75 : 1.25}); });
    data.stages.forEach(function (stage) {
      upright(stage.to, {'stroke-width': 0.5, 'stroke-opacity': 0.6});
      [-1.2, 1.2].forEach(function (shift) {
        line('M' + x(stage.from) + ' ' + (+y(stage.begin) + shift) + 'L' + x(stage.to) + ' ' + (+y(stage.end) + shift), {'stroke-width': 0.4});
      });
    });
    data.series.forEach(function (series) {
      if (!series.pair.shown || !series.low) return;
      ['low', 'high'].forEach(function (edge) { line(path({t: series.t, v: series[edge]}, x, y), {'stroke-width': 0.25, 'stroke-dasharray': '0.5 1.5'}); });
    });
    data.series.forEach(function (series) {
      if (series.pair.shown) line(path(series, x, y), lineStyle(series));
    });
    line('M' + area.x + ' ' + area.y + 'V' + bottom + 'H' + right, {'stroke-width': 1.5});
  };

  function path(series, x, y) {
    var d = '', pen = 'M';
    series.t.forEach(function (time, i) {
      if (series.v[i] === null) { pen = 'M'; return; }
      d += pen + x(time) + ' ' + y(series.v[i]);
      pen = 'L';
    });
    return d;
  }

  function lineStyle(series) {
    var predicted = series.source === 'predicted', estimated = series.source === 'estimated', heavy = series.role === 'booth_air' ? 2 : 1;
    var style = {'stroke-width': heavy * (predicted ? 0.6 : 0.8), 'stroke-linejoin': 'round'};
    if (predicted) style['stroke-dasharray'] = '4 2.5';
    if (estimated) style['stroke-dasharray'] = '1 1.8';
    return style;
  }
})();
