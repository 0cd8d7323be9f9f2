// SPDX-License-Identifier: Apache-2.0
/* One lane a zone under the temperature chart, on its time axis: not yet cured, too close to tell, cured, past its maximum, with the
   time at each change; then one lane an item, filling towards its limit. lanes: a "bakewright.course" of docs/json.md.

   var picture = bakewright.drawLanes(container, lanes, {
     from_s, to_s,        shown at first; default: all of it
     startClock,          minutes since midnight of time 0; null: times since the start
     left, right, width,  pixels: margins of the chart's plot area, and the width of the whole; default: the container's
     titles,              what is shown for a name, where it is another
     selected, onPick     name of a zone or item; called with the name
   });
   picture.setRange(from_s, to_s); picture.setLayout({left, right, width}); picture.setSelected(name); picture.setCursor(time_s or null); */
(function () {
  'use strict';
  var own = window.bakewright, kit = own.pictures;
  var LANE = 20, GAP = 2, NAME_LINE = 17, NAME_GAP = 96, LETTER = 7.4;

  function sentence(lane, title, clock) {
    if (lane.item !== undefined) return itemSentence(lane, title, clock);
    if (!lane.spans.length) return title + ': not judged';
    return title + ': ' + lane.spans.map(function (span, i) {
      return (i ? 'from ' + kit.timeText(span.from_s, clock) + ' ' : '') + kit.toneOf(span.word).lane;
    }).join(', ');
  }
  function itemSentence(lane, title, clock) {
    if (!lane.share_used.length) return title + ': not judged';
    return title + ': ' + percent(lane) + ' of its limit' +
      (lane.passed_at_s === null ? '' : ', passed at ' + kit.timeText(lane.passed_at_s, clock));
  }
  function percent(lane) { return Math.floor(100 * lane.share_used[lane.share_used.length - 1].share + 1e-6) + '\u00a0%'; }

  function isolate(text) { return '\u2068' + text + '\u2069'; }
  function shorten(text, pixels) {
    var letters = Array.from(text), most = Math.max(3, Math.floor(pixels / 6.6));
    return isolate(letters.length > most ? letters.slice(0, most - 1).join('') + '\u2026' : text);
  }

  own.drawLanes = function (container, lanes, options) {
    var svg = kit.node('svg', {'class': 'lanes', role: 'group', 'aria-label': 'Cure of each zone over time, slowest first'});
    var titles = options.titles || {}, fill = kit.patterns(svg), clock = options.startClock === undefined ? null : options.startClock;
    var from = options.from_s === undefined ? lanes.from_s : options.from_s, to = options.to_s === undefined ? lanes.until_s : options.to_s;
    var layout = {left: options.left || 0, right: options.right || 0, width: options.width}, selected = options.selected, width, named;
    var rows = lanes.zones.concat(lanes.items).map(function (lane) {
      var group = kit.node('g', {'class': 'lane'}, svg), name = lane.item === undefined ? lane.zone : lane.item;
      var title = titles[name] || name;
      kit.pickable(group, sentence(lane, title, clock), function () { if (options.onPick) options.onPick(name); });
      return {lane: lane, name: name, title: title, group: group};
    });
    var cursor = kit.node('line', {'class': 'lane-cursor'}, svg);

    function x(time_s) {
      var share = (time_s - from) / ((to - from) || 1);
      return layout.left + Math.min(1, Math.max(0, share)) * (width - layout.left - layout.right);
    }

    function label(group, text, at, top, tone, end) {
      kit.node('text', {x: at, y: top + 14, 'class': 'lane-text on-' + tone, 'text-anchor': end ? 'end' : 'start'}, group, text);
    }

    function bar(group, top) {
      kit.node('rect', {x: layout.left + 0.5, y: top + 0.5, width: Math.max(0, width - layout.left - layout.right - 1), height: LANE - 1,
                        'class': 'lane-frame'}, group);
    }

    function drawSpan(group, span, top, first) {
      if (span.until_s <= from || span.from_s >= to) return;
      var left = x(span.from_s), room = x(span.until_s) - left, tone = kit.toneOf(span.word);
      kit.node('rect', Object.assign({x: left, y: top, width: room, height: LANE}, fill(span.word)), group);
      if (!first && span.from_s > from) kit.node('path', {d: 'M' + left + ' ' + top + 'v' + LANE, 'class': 'lane-change'}, group);
      var full = first || span.from_s <= from ? tone.letter : tone.letter + ' ' + kit.timeText(span.from_s, clock);
      var text = room >= full.length * LETTER + 8 ? full : tone.letter;
      if (room >= text.length * LETTER + 4) label(group, text, left + 4, top, tone.tone);
    }

    function drawZone(row, top) {
      if (!row.lane.spans.length) {
        kit.node('rect', Object.assign({x: layout.left, y: top, width: width - layout.left - layout.right, height: LANE}, fill('NOT JUDGED')), row.group);
        label(row.group, 'not judged', layout.left + 4, top, 'unjudged');
      }
      row.lane.spans.forEach(function (span, i) { drawSpan(row.group, span, top, i === 0); });
      bar(row.group, top);
    }

    /* The share used as a filled shape: the top of the lane is the limit. */
    function drawItem(row, top) {
      var used = row.lane.share_used, bottom = top + LANE;
      if (!used.length) { bar(row.group, top); return label(row.group, 'not judged', layout.left + 4, top, 'unjudged'); }
      function y(share) { return bottom - Math.min(1, Math.max(0, share)) * LANE; }
      var d = 'M' + x(used[0].time_s) + ' ' + bottom;
      clipped(used).forEach(function (point) { d += 'L' + x(point.time_s).toFixed(1) + ' ' + y(point.share).toFixed(1); });
      kit.node('path', {d: d + 'V' + bottom + 'Z', 'class': 'item-used'}, row.group);
      bar(row.group, top);
      var passed = row.lane.passed_at_s, right = x(to) - 4;
      if (passed !== null && passed < to) {
        var left = x(passed), text = 'O ' + kit.timeText(passed, clock);
        kit.node('rect', {x: left, y: top, width: x(to) - left, height: LANE, 'class': 'tone-over'}, row.group);
        if (x(to) - left >= text.length * LETTER + 8) return label(row.group, text, left + 4, top, 'over');
        return label(row.group, text, left - 4, top, 'item', true);
      }
      label(row.group, percent(row.lane) + ' of its limit', right, top, 'item', true);
    }

    /* Corners inside the range, and the ends of it. */
    function clipped(used) {
      function at(time_s) {
        for (var i = 1; i < used.length; ++i)
          if (used[i].time_s >= time_s) {
            var a = used[i - 1], b = used[i], span = b.time_s - a.time_s;
            return a.share + (span > 0 ? (b.share - a.share) * (time_s - a.time_s) / span : 0);
          }
        return used[used.length - 1].share;
      }
      var inside = used.filter(function (point) { return point.time_s > from && point.time_s < to; });
      var low = Math.max(from, used[0].time_s), high = Math.min(to, used[used.length - 1].time_s);
      return [{time_s: low, share: at(low)}].concat(inside, [{time_s: high, share: at(high)}]);
    }

    function drawName(row, top) {
      var place = named ? {x: width - layout.right + 8, y: top + 14, 'class': 'lane-name'} : {x: layout.left, y: top - 4, 'class': 'lane-name'};
      var element = kit.node('text', place, row.group, shorten(row.title, named ? layout.right - 8 : width - layout.left));
      kit.node('title', {}, element, sentence(row.lane, row.title, clock));
    }

    function draw() {
      // A picture that is hidden has no width yet: then nothing but its margins.
      width = Math.max(layout.width || container.clientWidth || 640, layout.left + layout.right);
      named = layout.right >= NAME_GAP;
      var step = LANE + GAP + (named ? 0 : NAME_LINE), top = named ? 2 : NAME_LINE;
      rows.forEach(function (row, i) {
        kit.clear(row.group);
        kit.node('rect', {x: 0, y: top - (named ? 2 : NAME_LINE - 2), width: width, height: step, 'class': 'lane-ground'}, row.group);
        if (row.lane.item === undefined) drawZone(row, top); else drawItem(row, top);
        drawName(row, top);
        row.group.setAttribute('aria-pressed', String(row.name === selected));
        if (i + 1 === lanes.zones.length && lanes.items.length) top += 8;
        top += step;
      });
      svg.setAttribute('width', width);
      svg.setAttribute('height', Math.max(1, top));
      cursor.setAttribute('y2', top);
    }

    kit.clear(container);
    container.appendChild(svg);
    draw();
    return {
      element: svg,
      setRange: function (low, high) { if (low !== from || high !== to) { from = low; to = high; draw(); } },
      setLayout: function (next) { layout = {left: next.left, right: next.right, width: next.width}; draw(); },
      setSelected: function (name) { selected = name; rows.forEach(function (row) { row.group.setAttribute('aria-pressed', String(row.name === name)); }); },
      setCursor: function (time_s) {
        var shown = time_s !== null && time_s >= from && time_s <= to;
        cursor.setAttribute('visibility', shown ? 'visible' : 'hidden');
        if (shown) { cursor.setAttribute('x1', x(time_s)); cursor.setAttribute('x2', x(time_s)); }
      }
    };
  };
})();
