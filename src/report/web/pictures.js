// SPDX-License-Identifier: Apache-2.0
/* What the lanes and the drawing of a shell share: words, letters, patterns, times. Text is set as text only and never becomes
   markup; colours come from pictures.css. */
(function () {
  'use strict';
  var SVG = 'http://www.w3.org/2000/svg', drawings = 0;
  var own = window.bakewright = window.bakewright || {};

  /* letter: stands in the picture; tone: class of its colours; lane: what it means along a lane. */
  var WORDS = {
    'UNDER': {letter: 'U', tone: 'under', lane: 'not yet cured'},
    'CHECK': {letter: 'C', tone: 'check', lane: 'too close to tell'},
    'GOOD': {letter: 'G', tone: 'good', lane: 'cured'},
    'OVER': {letter: 'O', tone: 'over', lane: 'past its maximum'},
    'NOT JUDGED': {letter: '\u2013', tone: 'unjudged', lane: 'not judged'}
  };

  function node(tag, attributes, parent, text) {
    var element = document.createElementNS(SVG, tag);
    Object.keys(attributes || {}).forEach(function (name) { element.setAttribute(name, attributes[name]); });
    if (text !== undefined) element.textContent = text;
    if (parent) parent.appendChild(element);
    return element;
  }

  function clear(element) { while (element.firstChild) element.removeChild(element.firstChild); }

  function pad(number) { return (number < 10 ? '0' : '') + number; }

  /* "18:40" by the clock where it is known, else "1:25" since the start. */
  function timeText(time_s, startClock) {
    var minutes = Math.round(time_s / 60), known = startClock !== null && startClock !== undefined;
    if (!known) return (minutes < 0 ? '-' : '') + Math.floor(Math.abs(minutes) / 60) + ':' + pad(Math.abs(minutes) % 60);
    var clock = ((minutes + startClock) % 1440 + 1440) % 1440;
    return pad(Math.floor(clock / 60)) + ':' + pad(clock % 60);
  }

  /* A pattern a word; its id is of this one picture. Returns what fills a shape of a word. */
  function patterns(svg) {
    var prefix = 'tone' + (++drawings) + '-', definitions = node('defs', {}, svg);
    function pattern(tone, size, paint) {
      var place = node('pattern', {id: prefix + tone, width: size, height: size, patternUnits: 'userSpaceOnUse'}, definitions);
      node('rect', {width: size, height: size, 'class': 'tone-' + tone}, place);
      paint(place);
    }
    function line(place, d) { node('path', {d: d, 'class': 'tone-line'}, place); }
    pattern('under', 7, function (place) { line(place, 'M-1.75 1.75l3.5-3.5M0 7l7-7M5.25 8.75l3.5-3.5'); });
    pattern('check', 6, function (place) { node('circle', {cx: 3, cy: 3, r: 1.1, 'class': 'tone-dot'}, place); });
    pattern('unjudged', 8, function (place) { line(place, 'M0 4h4'); });
    return function (word) {
      var tone = toneOf(word).tone;
      return tone === 'good' || tone === 'over' ? {'class': 'tone-' + tone} : {fill: 'url(#' + prefix + tone + ')'};
    };
  }

  function toneOf(word) { return WORDS[word] || WORDS['NOT JUDGED']; }

  /* A part that can be picked by mouse and keyboard; names it for those who cannot see it. */
  function pickable(group, label, pick) {
    group.setAttribute('tabindex', '0');
    group.setAttribute('role', 'button');
    group.setAttribute('aria-label', label);
    group.addEventListener('click', pick);
    group.addEventListener('keydown', function (event) {
      if (event.key !== 'Enter' && event.key !== ' ') return;
      event.preventDefault();
      pick();
    });
  }

  /* What the letters and patterns mean, as a line of samples. items: also that of items' lanes. */
  own.drawPictureKey = function (container, options) {
    clear(container);
    container.classList.add('picture-keys');
    Object.keys(WORDS).forEach(function (word) {
      if (word === 'NOT JUDGED' && !(options && options.unjudged)) return;
      var entry = document.createElement('span'), svg = node('svg', {width: 30, height: 16, 'aria-hidden': 'true'});
      entry.className = 'picture-key';
      var fill = patterns(svg)(word);
      node('rect', Object.assign({x: 0.5, y: 0.5, width: 29, height: 15, 'stroke-width': 1}, fill, {'class': (fill['class'] || '') + ' outlined'}), svg);
      node('text', {x: 15, y: 12, 'text-anchor': 'middle', 'class': 'letter on-' + WORDS[word].tone}, svg, WORDS[word].letter);
      entry.appendChild(svg);
      entry.appendChild(document.createTextNode(word + (options && options.lanes ? ': ' + WORDS[word].lane : '')));
      container.appendChild(entry);
    });
  };

  own.pictures = {node: node, clear: clear, timeText: timeText, patterns: patterns, toneOf: toneOf, pickable: pickable};
})();
