// SPDX-License-Identifier: Apache-2.0
/* The chart of a bake report. Reads the data that stands in the page, in this shape:
   {unit, clock: minutes since midnight or null, series: [{name, source: "logged"|"estimated"|"predicted", role, t: [min], v: [number or null], low, high: of its band, where it has one}],
    limits: [{value, label, kind: "cure"|"maximum"|"item"}], band: {low, high} or null, stages: [{name, from, to, begin, end}],
    course, drawing, verdicts: for report_pictures.js}
   A null in v is a gap. Names are shown as text only and never become markup. */
(function () {
  'use strict';
  var TONES = 6, MOST_AT_FIRST = 8, LABEL_GAP = 184, SVG = 'http://www.w3.org/2000/svg';
  var PRINT_WIDTH = 840, PRINT_HEIGHT = 300;
  var root = document.documentElement, frame = document.getElementById('frame'), box = document.getElementById('chart');
  var data = JSON.parse(document.getElementById('bake-data').textContent);
  var own = window.bakewright = window.bakewright || {}, followers = {draw: [], read: []};
  var pairs = [], printing = false, picked = null, readLegend = function () {}, whole, graph, ticks = {x: [], y: []};

  /* Logged and predicted traces of one name share a tone, a label and a row in the legend. */
  function pairUp() {
    var found = new Map(), zones = 0;
    data.series.forEach(function (series, i) {
      var pair = found.get(series.name);
      if (!pair) {
        pair = {name: series.name, role: series.role, shown: true, members: []};
        pair.tone = series.role === 'booth_air' ? 0 : series.role === 'booth_wall' ? -1 : 1 + (zones++ % TONES);
        found.set(series.name, pair);
        pairs.push(pair);
      }
      series.key = 's' + i;
      series.pair = pair;
      pair.members.push(series);
    });
  }

  /* Of many curves those that decide are drawn at first: air, the slowest and the hottest zone, items that are not GOOD; the others
     thin and behind once they are asked for in the legend. */
  function keepFew() {
    if (pairs.length <= MOST_AT_FIRST) return;
    var course = data.course || {zones: [], items: []}, judged = course.zones.filter(function (zone) { return zone.word !== 'NOT JUDGED'; });
    var keep = judged.slice(0, 1).map(function (zone) { return zone.zone; });
    course.items.forEach(function (item) { if (item.word !== 'GOOD' && item.word !== 'NOT JUDGED') keep.push(item.item); });
    judged.forEach(function (zone) { if (zone.word !== 'GOOD') keep.push(zone.zone); });
    var zones = pairs.filter(function (pair) { return pair.role === 'zone'; }), measured = zones.filter(function (pair) { return pair.members[0].source === 'logged'; });
    if (measured.length) zones = measured;
    zones.sort(function (a, b) { return hottest(b) - hottest(a); });
    if (zones.length) keep.push(zones[0].name);
    pairs.forEach(function (pair) { pair.shown = pair.role === 'booth_air' || keep.includes(pair.name); });
  }
  function hottest(pair) {
    return pair.members[0].v.reduce(function (most, value) { return value === null ? most : Math.max(most, value); }, -Infinity);
  }

  function tone(pair) {
    var name = pair.tone === 0 ? '--ink' : pair.tone < 0 ? '--soft' : '--t' + pair.tone;
    return colour(name);
  }

  function colour(name) { return getComputedStyle(root).getPropertyValue(name).trim(); }

  var banded = data.series.some(function (series) { return series.low; });

  /* Bands lie over each other: the more there are, the fainter each. */
  function bandAlpha() {
    var count = data.series.filter(function (series) { return series.low; }).length;
    return Math.max(0.04, Math.min(0.15, 0.6 / Math.max(1, count)));
  }

  /* Where any trace has a band the library wants low, value and high of every one. */
  function sample(series, i) {
    var value = series.v[i] === null ? NaN : series.v[i];
    if (!banded) return value;
    return series.low && series.low[i] !== null ? [series.low[i], value, series.high[i]] : [value, value, value];
  }

  /* One row for every time of any trace; null where a trace has no sample (drawn across), NaN where it has a gap (drawn apart). */
  function rows() {
    var all = new Set();
    data.series.forEach(function (series) { series.t.forEach(function (t) { all.add(t); }); });
    var times = Array.from(all).sort(function (a, b) { return a - b; });
    var next = data.series.map(function () { return 0; });
    return times.map(function (time) {
      var row = [time];
      data.series.forEach(function (series, i) {
        var value = null;
        while (next[i] < series.t.length && series.t[next[i]] === time) {
          value = sample(series, next[i]);
          next[i] += 1;
        }
        row.push(value);
      });
      return row;
    });
  }

  function pad(number) { return (number < 10 ? '0' : '') + number; }
  function elapsed(minutes) {
    var whole = Math.round(Math.abs(minutes));
    return (minutes < 0 && whole > 0 ? '-' : '') + Math.floor(whole / 60) + ':' + pad(whole % 60);
  }
  function clock(minutes) {
    var whole = ((Math.round(data.clock + minutes) % 1440) + 1440) % 1440;
    return pad(Math.floor(whole / 60)) + ':' + pad(whole % 60);
  }

  function degreeTicks() {
    ticks.y = Dygraph.numericTicks.apply(this, arguments);
    return ticks.y;
  }
  function timeTicks(low, high, pixels) {
    var most = Math.max(2, pixels / 64), steps = [1, 2, 5, 10, 15, 20, 30, 60, 120, 240, 480, 720, 1440];
    var step = steps.find(function (s) { return (high - low) / s <= most; }) || 1440 * Math.ceil((high - low) / most / 1440);
    ticks.x = [];
    for (var at = Math.ceil(low / step) * step; at <= high; at += step)
      ticks.x.push({v: at, label: elapsed(at) + (data.clock === null ? '' : '<br>' + clock(at))});
    return ticks.x;
  }

  function extent() {
    var low = Infinity, high = -Infinity;
    data.series.forEach(function (series) {
      series.v.forEach(function (v) { if (v !== null) { low = Math.min(low, v); high = Math.max(high, v); } });
    });
    if (low > high) { low = 0; high = 1; }
    data.stages.forEach(function (stage) { high = Math.max(high, stage.begin, stage.end); });
    var room = 0.35 * (high - low);
    data.limits.forEach(function (limit) { if (limit.value <= high + room && limit.value > high) high = limit.value; });
    var margin = 0.05 * (high - low) || 1;
    return [low - margin, high + 1.4 * margin];
  }

  function seriesOptions() {
    var both = data.series.some(function (s) { return s.source === 'logged'; });
    var options = {};
    data.series.forEach(function (series) {
      var heavy = series.role === 'booth_air' ? 0.8 : 0;
      var predicted = series.source === 'predicted', estimated = series.source === 'estimated';
      options[series.key] = {
        color: tone(series.pair),
        strokeWidth: (predicted && both ? 1 : 1.5) + heavy + (series.pair.name === picked ? 2 : 0),
        strokePattern: predicted ? [6, 3] : estimated ? [2, 3] : null
      };
    });
    return options;
  }

  /* The set point as two hairlines, which no trace has. */
  function setPoint(context, dygraph, tone) {
    context.strokeStyle = tone; context.lineWidth = 0.75; context.globalAlpha = 0.8;
    [-1.5, 1.5].forEach(function (shift) {
      context.beginPath();
      data.stages.forEach(function (stage) {
        context.lineTo(dygraph.toDomXCoord(stage.from), dygraph.toDomYCoord(stage.begin, 0) + shift);
        context.lineTo(dygraph.toDomXCoord(stage.to), dygraph.toDomYCoord(stage.end, 0) + shift);
      });
      context.stroke();
    });
  }

  /* Under the curves: the cure window, limits and the ends of stages. */
  function underlay(context, area, dygraph) {
    var ink = colour('--ink'), soft = colour('--soft');
    var range = dygraph.yAxisRange(0), bottom = area.y + area.h;
    function y(value) { return dygraph.toDomYCoord(value, 0); }
    context.save();
    context.beginPath(); context.rect(area.x, area.y, area.w, area.h); context.clip();
    if (data.band) {
      context.globalAlpha = 0.08; context.fillStyle = ink;
      context.fillRect(area.x, y(data.band.high), area.w, y(data.band.low) - y(data.band.high));
    }
    context.globalAlpha = 1; context.lineWidth = 1;
    data.limits.forEach(function (limit) {
      if (limit.value < range[0] || limit.value > range[1]) return;
      context.strokeStyle = ink;
      context.setLineDash(limit.kind === 'item' ? [1, 3] : [1, 2]);
      context.lineWidth = limit.kind === 'item' ? 1 : 1.5;
      context.beginPath(); context.moveTo(area.x, y(limit.value)); context.lineTo(area.x + area.w, y(limit.value)); context.stroke();
    });
    context.setLineDash([]);
    setPoint(context, dygraph, soft);
    context.lineWidth = 1; context.strokeStyle = soft; context.globalAlpha = 0.35;
    data.stages.forEach(function (stage) {
      var x = Math.round(dygraph.toDomXCoord(stage.to)) + 0.5;
      context.beginPath(); context.moveTo(x, area.y); context.lineTo(x, bottom); context.stroke();
    });
    context.restore();
  }

  var layer = document.createElementNS(SVG, 'svg');
  layer.setAttribute('aria-hidden', 'true');

  function put(tag, attributes, text) {
    var element = document.createElementNS(SVG, tag);
    Object.keys(attributes).forEach(function (name) { element.setAttribute(name, attributes[name]); });
    if (text !== undefined) element.textContent = text;
    layer.appendChild(element);
    return element;
  }

  function annotate(dygraph) {
    var area = dygraph.getArea();
    layer.textContent = '';
    layer.setAttribute('width', dygraph.size().width);
    layer.setAttribute('height', dygraph.size().height);
    if (printing) drawOnPaper(put, data, ticks, dygraph, area);
    nameOnChart(put, {data: data, pairs: pairs, tone: tone, ink: colour('--ink'), soft: colour('--soft'), paper: colour('--paper'), gap: gap()}, dygraph, area);
    document.getElementById('whole').hidden = !closer(dygraph);
    tell('draw', dygraph);
  }

  function tell(what, value) { followers[what].forEach(function (follow) { follow(value); }); }

  /* Whether less than the whole bake is shown. The library counts our own y range as a zoom, and forgets it when it resets. */
  function closer(dygraph) {
    var now = dygraph.yAxisRange(0);
    return dygraph.isZoomed('x') || now[0] !== whole[0] || now[1] !== whole[1];
  }
  function keepRange() {
    if (!graph.isZoomed('x') && !graph.isZoomed('y')) graph.updateOptions({valueRange: whole});
  }

  function gap() { return (printing ? PRINT_WIDTH : frame.clientWidth) >= 560 ? LABEL_GAP : 0; }

  function read(time) {
    tell('read', time);
    readLegend(time);
  }

  function moment(time) { return elapsed(time) + (data.clock === null ? '' : ' (' + clock(time) + ')'); }

  function setShown(pair, shown) {
    pair.shown = shown;
    if (pair.check) pair.check.checked = shown;
    pair.members.forEach(function (series) { graph.setVisibility(data.series.indexOf(series), shown); });
  }

  function look() {
    return {
      series: seriesOptions(), rightGap: gap() || 8,
      gridLineColor: colour('--rule'), axisLineColor: colour('--soft')
    };
  }

  function draw() {
    var options = look();
    whole = extent();
    Object.assign(options, {
      labels: ['time'].concat(data.series.map(function (series) { return series.key; })),
      visibility: data.series.map(function (series) { return series.pair.shown; }),
      legend: 'never', connectSeparatedPoints: true, customBars: banded, fillAlpha: bandAlpha(), valueRange: whole, zoomCallback: keepRange, underlayCallback: underlay, drawCallback: annotate,
      highlightCallback: function (event, time) { read(time); },
      unhighlightCallback: function () { read(null); },
      highlightCircleSize: 2, highlightSeriesOpts: {strokeWidth: 3}, highlightSeriesBackgroundAlpha: 1,
      gridLineWidth: 0.5, axisLineWidth: 1, xAxisHeight: data.clock === null ? 24 : 40,
      axes: {
        x: {ticker: timeTicks, axisLabelWidth: 56, valueFormatter: elapsed},
        y: {ticker: degreeTicks, axisLabelWidth: 36, pixelsPerLabel: 40}
      }
    });
    graph = new Dygraph(box, rows(), options);
    frame.appendChild(layer);
  }

  /* For the pictures that go with the chart: what it shows, when it is drawn anew, what is read from it, and a curve to bring out. */
  own.chart = {
    data: data,
    graph: function () { return graph; },
    onDraw: function (follow) { followers.draw.push(follow); follow(graph); },
    onRead: function (follow) { followers.read.push(follow); },
    pick: function (name) {
      var pair = pairs.find(function (one) { return one.name === name; });
      if (pair && !pair.shown) setShown(pair, true);
      picked = name;
      refresh();
    }
  };

  function refresh() { graph.updateOptions(look()); }

  /* Paper: black on white, as wide as a page of A4 or Letter. */
  function toPaper() {
    printing = true;
    root.setAttribute('data-print', '');
    box.style.width = PRINT_WIDTH + 'px'; box.style.height = PRINT_HEIGHT + 'px';
    graph.updateOptions(look(), true);
    graph.resize(PRINT_WIDTH, PRINT_HEIGHT);
  }
  function toScreen() {
    printing = false;
    root.removeAttribute('data-print');
    box.style.width = ''; box.style.height = '';
    graph.updateOptions(look(), true);
    graph.resize(box.clientWidth, box.clientHeight);
  }

  pairUp();
  keepFew();
  draw();
  readLegend = drawLegend(document.getElementById('legend'), {data: data, pairs: pairs, moment: moment, setShown: setShown});
  document.getElementById('whole').addEventListener('click', function () { graph.resetZoom(); });
  window.addEventListener('beforeprint', toPaper);
  window.addEventListener('afterprint', toScreen);
  window.addEventListener('resize', function () { if (!printing) graph.updateOptions({rightGap: gap() || 8}); });
  window.matchMedia('(prefers-color-scheme: dark)').addEventListener('change', refresh);
})();
