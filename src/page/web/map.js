// SPDX-License-Identifier: Apache-2.0
'use strict';
// Which set points and holds work, around the one that is set: one square each, told by letter and pattern.
(function (page) {
  const { element, units } = page;
  const kit = page.pictures;
  const cells = {
    feasible: { letter: 'G', word: 'GOOD', words: 'works' },
    unsure: { letter: 'C', word: 'CHECK', words: 'works on best-guess values, under 95 % sure' },
    warned: { letter: 'W', word: 'CHECK', words: 'cures, but heats too soon or too fast' },
    under: { letter: 'U', word: 'UNDER', words: 'leaves a zone under-cured' },
    hot: { letter: 'O', word: 'OVER', words: 'too hot for something' },
    both: { letter: 'UO', word: 'OVER', words: 'leaves a zone under-cured and is too hot for something' },
  };
  const columns = 6;

  function sentence(row, hold, answer, titles) {
    const why = answer === 'hot' || answer === 'both' ? row.first_too_hot : answer === 'under' ? row.last_to_cure : null;
    return units.temperature(row.setpoint_k) + ', hold ' + units.duration(hold) + ': ' + cells[answer].words +
      (why && why.subject ? ' (' + (titles[why.subject] || why.subject) + ')' : '');
  }

  /// So many of a list around a place in it, every so many apart, as indices.
  function around(count, place, most, stride) {
    let first = Math.max(0, place - stride * Math.floor((most - 1) / 2));
    const last = Math.min(count - 1, first + stride * (most - 1));
    first = Math.max(place % stride, last - stride * (most - 1));
    while (first % stride !== place % stride) first += 1;
    const found = [];
    for (let at = first; at <= last; at += stride) found.push(at);
    return found;
  }

  /// The entry nearest to a value.
  const nearest = (values, wanted) => values.reduce((best, value, index) => (Math.abs(value - wanted) < Math.abs(values[best] - wanted) ? index : best), 0);

  function key(used) {
    return element('ul', { class: 'key' }, Object.entries(cells).filter(([name]) => used.has(name)).map(([, cell]) =>
      element('li', {}, element('b', {}, cell.letter), ' ' + cell.words)), element('li', {}, 'Ring: nearest to what is set.'));
  }

  /// @param titles  of zones and items, by name
  /// @param onPick  told {setpoint_k, hold_s} of a square that was chosen
  page.drawMap = function (container, map, setting, titles, onPick) {
    let focused = null;

    function draw(next, keepFocus) {
      const tall = container.clientWidth >= 300 ? 44 : 40;
      const sets = map.rows.map((row) => row.setpoint_k);
      const hereRow = nearest(sets, next.setpoint_k);
      const hereColumn = nearest(map.hold_s, next.hold_s);
      const rows = around(sets.length, hereRow, innerWidth < 1100 ? 5 : 6, 2).reverse();
      const holds = around(map.hold_s.length, hereColumn, columns, 1);
      const left = 36;
      const top = 20;
      const high = innerWidth < 1100 ? tall : 29;
      const wide = Math.max(40, Math.floor(((container.clientWidth || 284) - left - 2) / holds.length));
      const drawing = kit.node('svg', { width: left + holds.length * wide + 2, height: top + rows.length * high + 2, class: 'map', role: 'grid',
        'aria-label': 'Other set points and holds. Arrow keys move, Enter sets both.' });
      const fill = kit.patterns(drawing);
      kit.node('text', { x: 2, y: 13, class: 'axis' }, drawing, 'min');
      holds.forEach((hold, c) => kit.node('text', { x: left + (c + 0.5) * wide, y: 13, 'text-anchor': 'middle', class: 'axis' + (hold === hereColumn ? ' set' : '') }, drawing, Math.round(map.hold_s[hold] / 60)));
      const used = new Set();
      const squares = rows.map((row, r) => {
        const line = kit.node('g', { role: 'row' }, drawing);
        kit.node('text', { x: left - 4, y: top + r * high + high / 2 + 4, 'text-anchor': 'end', class: 'axis' + (row === hereRow ? ' set' : '') }, line, Math.round(units.fromKelvin(sets[row])) + '°');
        return holds.map((hold, c) => {
          const answer = map.rows[row].answers[hold];
          used.add(answer);
          const x = left + c * wide;
          const y = top + r * high;
          const isHere = row === hereRow && hold === hereColumn;
          const square = kit.node('g', { class: 'cell ' + answer, role: 'gridcell', tabindex: '-1', 'aria-selected': String(isHere), 'aria-label': sentence(map.rows[row], map.hold_s[hold], answer, titles) }, line);
          kit.node('rect', { x: x + 0.5, y: y + 0.5, width: wide - 2, height: high - 2, ...fill(cells[answer].word) }, square).classList.add('outlined');
          kit.node('text', { x: x + wide / 2, y: y + high / 2 + 4, 'text-anchor': 'middle', class: 'cell-letter on-' + kit.toneOf(cells[answer].word).tone }, square, cells[answer].letter);
          kit.node('title', {}, square, sentence(map.rows[row], map.hold_s[hold], answer, titles));
          if (isHere) {
            kit.node('rect', { x: x - 1, y: y - 1, width: wide + 1, height: high + 1, class: 'here' }, drawing);
          }
          square.addEventListener('click', () => onPick({ setpoint_k: sets[row], hold_s: map.hold_s[hold] }));
          square.addEventListener('focus', () => { focused = [r, c]; });
          return square;
        });
      });
      const start = [Math.max(0, rows.indexOf(hereRow)), Math.max(0, holds.indexOf(hereColumn))];
      const at = keepFocus && focused ? [Math.min(focused[0], rows.length - 1), Math.min(focused[1], holds.length - 1)] : start;
      squares[at[0]][at[1]].setAttribute('tabindex', '0');
      drawing.addEventListener('keydown', (event) => {
        const [r, c] = focused || start;
        const moves = { ArrowUp: [r - 1, c], ArrowDown: [r + 1, c], ArrowLeft: [r, c - 1], ArrowRight: [r, c + 1], Home: [r, 0], End: [r, holds.length - 1] };
        if (event.key === 'Enter' || event.key === ' ') { event.preventDefault(); onPick({ setpoint_k: sets[rows[r]], hold_s: map.hold_s[holds[c]] }, true); return; }
        const next = moves[event.key];
        if (!next || !squares[next[0]] || !squares[next[0]][next[1]]) return;
        event.preventDefault();
        squares[r][c].setAttribute('tabindex', '-1');
        squares[next[0]][next[1]].setAttribute('tabindex', '0');
        squares[next[0]][next[1]].focus();
      });
      container.replaceChildren(drawing, key(used));
      if (keepFocus && focused) squares[at[0]][at[1]].focus();
    }

    draw(setting, false);
    return { mark: (next) => draw(next, container.contains(document.activeElement)) };
  };
})(window.bakewright);
