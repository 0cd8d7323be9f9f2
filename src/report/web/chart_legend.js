// SPDX-License-Identifier: Apache-2.0
/* The legend of a bake report's chart: shows or hides a curve, and reads it where the pointer is.
   chart: {data, pairs, as in chart.js; moment(time): as text; setShown(pair, shown)}. Returns read(time or null). */
(function () {
  'use strict';
  var SVG = 'http://www.w3.org/2000/svg';

  function make(tag, className, text) {
    var element = document.createElement(tag);
    if (className) element.className = className;
    if (text !== undefined) element.textContent = text;
    return element;
  }

  /* Of a series at a time, on the line between its samples; null outside of it and in a gap. */
  function valueAt(series, time) {
    var low = 0, high = series.t.length - 1;
    if (time < series.t[0] || time > series.t[high]) return null;
    while (high - low > 1) { var middle = (low + high) >> 1; if (series.t[middle] <= time) low = middle; else high = middle; }
    var a = series.v[low], b = series.v[high];
    if (series.t[low] === time) return a;
    if (series.t[high] === time) return b;
    if (a === null || b === null) return null;
    return a + (b - a) * (time - series.t[low]) / (series.t[high] - series.t[low]);
  }

  function lineSample(pair) {
    var svg = document.createElementNS(SVG, 'svg'), line = document.createElementNS(SVG, 'line');
    svg.setAttribute('width', 36); svg.setAttribute('height', 12); svg.setAttribute('aria-hidden', 'true');
    [['x1', 0], ['x2', 36], ['y1', 6], ['y2', 6], ['stroke-width', pair.tone ? 2 : 3]].forEach(function (a) { line.setAttribute(a[0], a[1]); });
    var patterns = {predicted: '6 3', estimated: '2 3'};
    if (patterns[pair.members[0].source]) line.setAttribute('stroke-dasharray', patterns[pair.members[0].source]);
    line.style.stroke = pair.tone === 0 ? 'var(--ink)' : pair.tone < 0 ? 'var(--soft)' : 'var(--t' + pair.tone + ')';
    svg.appendChild(line);
    return svg;
  }

  window.drawLegend = function (place, chart) {
    var moment = make('div', 'head'), readings = [];

    function row(pair, index) {
      var row = make('div', 'row'), check = make('input'), name = make('label', 'name');
      check.type = 'checkbox'; check.checked = pair.shown; check.id = 'show' + index;
      name.htmlFor = check.id;
      name.appendChild(make('bdi', '', pair.name));
      name.title = pair.name;
      check.addEventListener('change', function () { chart.setShown(pair, check.checked); });
      pair.check = check;
      row.append(check, lineSample(pair), name);
      [['logged', 'estimated'], ['predicted']].forEach(function (sources) {
        var value = make('span');
        row.appendChild(value);
        var series = pair.members.find(function (member) { return sources.includes(member.source); });
        if (series) readings.push({cell: value, series: series});
      });
      return row;
    }

    function read(time) {
      moment.textContent = (time === null ? 'Point at the chart to read it here' : 'At ' + chart.moment(time)) +
        ': logged or estimated, then predicted [' + chart.data.unit + '].';
      readings.forEach(function (reading) {
        var value = time === null ? null : valueAt(reading.series, time);
        reading.cell.textContent = value === null ? '' : value.toFixed(1);
      });
    }

    place.appendChild(moment);
    chart.pairs.forEach(function (pair, i) { place.appendChild(row(pair, i)); });
    read(null);
    return read;
  };
})();
