// SPDX-License-Identifier: Apache-2.0
/* A plain drawing of the shell: its sides, top, ends as rectangles, each zone where its profile says, lettered with its verdict.
   drawing: a "bakewright.shell-drawing" of docs/json.md.

   var picture = bakewright.drawShell(container, drawing, {
     compact,           true where there is little room: smaller, closer
     side_by_side,      true for two long views beside each other whatever the width
     height,            of the highest view, pixels; by default 150, compact 76
     verdicts,          words by the name of the zone: {"side_lower": "UNDER"}
     marks,             of a bake that goes on, in place of a word: {"side_lower": {text: "15", share: 0.7}}, filled from below in grey
     parts,             of a shell that is edited, in place of words: what is said of a zone by its name, {isAssumed}; every part is
                        named and can be picked, bare ones too, and one that nobody described has a dashed edge
     selected, onPick   name of a zone; called with the name
   });
   picture.setVerdicts(verdicts); picture.setMarks(marks, verdicts); picture.setSelected(name);
   picture.shapes()     what can be picked: {zone, group, x, y, w, h}, in the order in which it is drawn
   picture.boxes()      the views: {view, x, y, w, h} */
(function () {
  'use strict';
  var own = window.bakewright, kit = own.pictures;
  var GAP = 28, TITLE = 20, LONG = 640, LETTER = 8.6;

  /* Views side by side as far as they fit, two long ones where there is room. Pixels. */
  function place(views, width, compact, side_by_side, height) {
    var gap = compact ? 12 : GAP, title = compact ? 16 : TITLE, least = compact ? 56 : 110;
    var longest = Math.max.apply(null, views.map(function (view) { return view.width_m; }));
    var inRow = side_by_side || width >= LONG && views.filter(function (view) { return view.width_m === longest; }).length > 1 ? 2 : 1;
    var scale = Math.min((width - (inRow - 1) * gap - 2) / (inRow * longest), (height || (compact ? 76 : 150)) / Math.max.apply(null, views.map(function (view) { return view.height_m; })));
    var x = 1, y = 0, row = 0;
    return views.map(function (view) {
      var box = {view: view, w: view.width_m * scale, h: view.height_m * scale};
      if (box.w < least) box.w = least;
      if (x > 1 && x + box.w > width) { x = 1; y += row + title + (compact ? 4 : 12); row = 0; }
      box.x = x; box.y = y + title;
      x += box.w + gap;
      row = Math.max(row, box.h);
      box.bottom = box.y + box.h;
      return box;
    });
  }

  function room(text, w) { return text.length * LETTER + 8 <= w; }

  own.drawShell = function (container, drawing, options) {
    var svg = kit.node('svg', {'class': 'shell-drawing', role: 'group', 'aria-label': options.parts ? 'Drawing of the shell, every part named' : 'Drawing of the shell, every zone lettered with its verdict'});
    var fill = kit.patterns(svg), ground = kit.node('g', {}, svg), letters = kit.node('g', {'class': 'drawn-letters', 'aria-hidden': 'true'}, svg);
    var verdicts = options.verdicts || {}, marks = options.marks || {}, selected = options.selected, shapes = [], boxes = [];

    function text(words, x, y, kind) { kit.node('text', {x: x, y: y, 'class': kind, 'text-anchor': 'middle'}, letters, words); }

    function placeOf(box, zone) { return {x: box.x + zone.left * box.w, y: box.y + zone.top * box.h, w: zone.width * box.w, h: zone.height * box.h}; }

    /* The widest part of a zone that nothing drawn over it covers, over a height about a level of it. */
    function bareAt(box, zone, index, height, level) {
      var at = placeOf(box, zone), middle = at.y + level * at.h, parts = [[at.x, at.x + at.w]];
      box.view.zones.slice(index + 1).forEach(function (other) {
        var over = placeOf(box, other);
        if (over.y >= middle + height / 2 || over.y + over.h <= middle - height / 2) return;
        parts = [].concat.apply([], parts.map(function (part) {
          return [[part[0], Math.min(part[1], over.x)], [Math.max(part[0], over.x + over.w), part[1]]].filter(function (rest) { return rest[1] > rest[0]; });
        }));
      });
      var widest = parts.reduce(function (best, part) { return part[1] - part[0] > best[1] - best[0] ? part : best; }, [at.x, at.x]);
      return {x: widest[0], w: widest[1] - widest[0], middle: middle, h: at.h};
    }

    /* In its middle if that is free, else where most of it is. */
    function bare(box, zone, index, height) {
      return [0.5, 0.35, 0.65, 0.2, 0.8].map(function (level) { return bareAt(box, zone, index, height, level); })
        .reduce(function (best, here) { return here.w > 1.2 * best.w ? here : best; });
    }

    function drawPart(box, zone) {
      var part = options.parts[zone.zone], at = placeOf(box, zone), group = kit.node('g', {'class': 'drawn-zone part' + (zone.coated ? '' : ' unpainted') + (part.isAssumed ? ' assumed' : '')}, ground);
      kit.node('rect', {x: at.x, y: at.y, width: at.w, height: at.h, 'class': 'outlined'}, group);
      kit.node('title', {}, group, zone.title);
      kit.pickable(group, zone.title + ', ' + box.view.title + (zone.coated ? '' : ', not painted') + (part.isAssumed ? ', assumed' : ''), function () { if (options.onPick) options.onPick(zone.zone); });
      group.setAttribute('aria-pressed', String(zone.zone === selected));
      shapes.push({zone: zone.zone, group: group, x: at.x, y: at.y, w: at.w, h: at.h});
    }

    /* Its name along its longer side, cut where it must be; nothing where not three letters go in. */
    function name(box, zone, index) {
      var at = bare(box, zone, index, 12), isUpright = at.w < 60 && at.h > 1.5 * at.w;
      var middle = {x: at.x + at.w / 2, y: isUpright ? placeOf(box, zone).y + at.h / 2 : at.middle}, along = isUpright ? at.h : at.w, across = isUpright ? at.w : at.h;
      var fits = Math.floor((along - 6) / 6.6), words = zone.title.length > fits ? zone.title.slice(0, fits - 1).trim() + '\u2026' : zone.title;
      if (across < 11 || fits < 3) return;
      var label = kit.node('text', {x: middle.x, y: middle.y + 4, 'class': 'drawn-title', 'text-anchor': 'middle'}, letters, words);
      if (isUpright) label.setAttribute('transform', 'rotate(-90 ' + middle.x + ' ' + middle.y + ')');
    }

    function drawZone(box, zone) {
      if (options.parts) return drawPart(box, zone);
      var at = placeOf(box, zone), word = zone.coated ? verdicts[zone.zone] || 'NOT JUDGED' : null;
      var group = kit.node('g', {'class': 'drawn-zone' + (zone.coated ? '' : ' bare')}, ground);
      var mark = word ? marks[zone.zone] : null, look = mark ? {'class': 'drawn-open'} : word ? fill(word) : {'class': 'drawn-bare'};
      kit.node('rect', Object.assign({x: at.x, y: at.y, width: at.w, height: at.h}, look, {'class': (look['class'] || '') + ' outlined'}), group);
      if (mark) kit.node('rect', {x: at.x, y: at.y + (1 - mark.share) * at.h, width: at.w, height: mark.share * at.h, 'class': 'drawn-share'}, group);
      var said = mark ? mark.text + ' min to go' : word;
      kit.node('title', {}, group, zone.title + ': ' + (said || 'bare, not judged'));
      if (!word) return;
      kit.pickable(group, box.view.title + ', ' + zone.title + ': ' + said, function () { if (options.onPick) options.onPick(zone.zone); });
      shapes.push({zone: zone.zone, group: group, x: at.x, y: at.y, w: at.w, h: at.h});
      group.setAttribute('aria-pressed', String(zone.zone === selected));
    }

    /* The word and the zone's title, as much of it as there is room for; at the least the letter. Over all shapes, where none of
       them covers it. */
    function letter(box, zone, index) {
      if (options.parts) return name(box, zone, index);
      if (!zone.coated) return;
      var word = verdicts[zone.zone] || 'NOT JUDGED', tone = kit.toneOf(word), mark = marks[zone.zone];
      if (mark) return minutes(box, zone, index, mark.text);
      var at = bare(box, zone, index, 40), both = at.h >= 36 && room(zone.title, at.w * 1.25);
      if (!both) at = bare(box, zone, index, 12);
      if (at.h < 11 || at.w < 11) return;
      var middle = at.x + at.w / 2, base = at.middle + 5;
      if (both) { base -= 8; text(zone.title, middle, base + 16, 'drawn-title on-' + tone.tone); }
      text(room(word, at.w) ? word : tone.letter, middle, base, 'drawn-word on-' + tone.tone + (at.h < 17 ? ' tight' : ''));
    }

    /* As large as the part lets it be. */
    function minutes(box, zone, index, words) {
      var at = bare(box, zone, index, 24), size = Math.min(24, at.h * 0.8, 1.6 * at.w / words.length);
      if (zone.strip_of || size < 9) return;
      kit.node('rect', {x: at.x + at.w / 2 - 0.32 * size * words.length - 3, y: at.middle - 0.5 * size, width: 0.64 * size * words.length + 6, height: size, 'class': 'drawn-plate'}, letters);
      kit.node('text', {x: at.x + at.w / 2, y: at.middle + 0.36 * size, 'class': 'drawn-minutes', 'text-anchor': 'middle', 'font-size': size.toFixed(1)}, letters, words);
    }

    function draw() {
      var width = Math.max(options.compact ? 240 : 280, container.clientWidth || 960), bottom = 0;
      boxes = place(drawing.views, width, options.compact, options.side_by_side, options.height);
      kit.clear(ground);
      kit.clear(letters);
      shapes = [];
      boxes.forEach(function (box) {
        kit.node('text', {x: box.x, y: box.y - (options.compact ? 4 : 6), 'class': 'view-title'}, ground, box.view.title);
        kit.node('rect', {x: box.x, y: box.y, width: box.w, height: box.h, 'class': 'view-frame'}, ground);
        box.view.zones.forEach(function (zone) { drawZone(box, zone); });
        box.view.zones.forEach(function (zone, index) { letter(box, zone, index); });
        bottom = Math.max(bottom, box.bottom);
      });
      svg.setAttribute('viewBox', '0 0 ' + width + ' ' + (bottom + 2));
    }

    /* A strip is no part. */
    if (options.parts) drawing = {views: drawing.views.map(function (view) {
      return Object.assign({}, view, {zones: view.zones.filter(function (zone) { return options.parts[zone.zone]; })});
    })};
    kit.clear(container);
    container.appendChild(svg);
    draw();
    return {
      element: svg,
      redraw: draw,
      shapes: function () { return shapes; },
      boxes: function () { return boxes; },
      setVerdicts: function (next) { verdicts = next; draw(); },
      setMarks: function (next, words) { marks = next; verdicts = words; draw(); },
      setSelected: function (name) {
        selected = name;
        shapes.forEach(function (shape) { shape.group.setAttribute('aria-pressed', String(shape.zone === name)); });
      }
    };
  };
})();
