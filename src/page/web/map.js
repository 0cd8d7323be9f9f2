'use strict';
// Which set points and holds do: one square each, told by letter and pattern.
(function (page) {
  const { element, units } = page;
  const space = 'http://www.w3.org/2000/svg';
  const cells = {
    feasible: { letter: '', words: 'does' },
    unsure: { letter: '?', words: 'does by the middle of the model, but is not 95 % sure' },
    warned: { letter: 'W', words: 'cures, but heats too soon or too fast' },
    under: { letter: 'U', words: 'leaves a zone under-cured' },
    hot: { letter: 'H', words: 'too hot for something' },
    both: { letter: 'B', words: 'leaves a zone under-cured and is too hot for something' },
  };

  function svg(tag, attributes, ...children) {
    const made = document.createElementNS(space, tag);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.append(...children);
    return made;
  }

  const text = (x, y, words, attributes) => svg('text', { x, y, ...attributes }, document.createTextNode(words));

  function sentence(row, hold, answer, titles) {
    const why = answer === 'hot' || answer === 'both' ? row.first_too_hot : answer === 'under' ? row.last_to_cure : null;
    return units.temperature(row.setpoint_k) + ', hold ' + units.duration(hold) + ': ' + cells[answer].words +
      (why && why.subject ? ' (' + (titles[why.subject] || why.subject) + ')' : '');
  }

  function shape(map, width) {
    const left = 48;
    const step = Math.max(8, Math.min(28, (width - left - 8) / map.hold_s.length));
    return { left, top: 8, step, high: Math.max(10, Math.min(15, step)), bottom: 40 };
  }

  function axes(map, at, rows) {
    const made = [];
    rows.forEach((row, index) => {
      if (index % 5 !== 0) return;
      made.push(text(at.left - 6, at.top + index * at.high + at.high - 3, String(Math.round(units.fromKelvin(row.setpoint_k))) + '°',
        { class: 'axis', 'text-anchor': 'end' }));
    });
    map.hold_s.forEach((hold, index) => {
      if ((hold / 60) % 30 !== 0) return;
      made.push(text(at.left + (index + 0.5) * at.step, at.top + rows.length * at.high + 16, units.moment(hold),
        { class: 'axis', 'text-anchor': 'middle' }));
    });
    made.push(text(at.left, at.top + rows.length * at.high + 34, 'hold [h:mm]; upright: set point [' + units.symbol + ']', { class: 'axis' }));
    return made;
  }

  /// The square nearest to a setting, as [row, column], the column with its fraction; null where the map does not reach so far.
  function nearest(map, rows, setting) {
    const row = rows.findIndex((one) => Math.abs(one.setpoint_k - setting.setpoint_k) <= 0.51);
    let column = 0;
    map.hold_s.forEach((hold, index) => {
      if (Math.abs(hold - setting.hold_s) < Math.abs(map.hold_s[column] - setting.hold_s)) column = index;
    });
    // Between two squares where the hold lies between theirs: the squares' answers are for their own holds.
    const step = map.hold_s.length > 1 ? map.hold_s[1] - map.hold_s[0] : 1;
    const aside = Math.max(-0.5, Math.min(0.5, (setting.hold_s - map.hold_s[column]) / step));
    return row < 0 ? null : [row, column + aside];
  }

  function key(map) {
    const used = new Set(map.rows.flatMap((row) => row.answers));
    return element('ul', { class: 'key' }, Object.entries(cells).filter(([name]) => used.has(name)).map(([name, cell]) =>
      element('li', {}, element('i', { class: 'cell ' + name }, cell.letter), ' ' + cell.words)));
  }

  function square(at, row, r, hold, c, answer, titles, onPick) {
    const x = at.left + c * at.step;
    const y = at.top + r * at.high;
    const group = svg('g', { class: 'cell ' + answer }, svg('rect', { x, y, width: at.step - 1, height: at.high - 1 }));
    if (cells[answer].letter) group.append(text(x + at.step / 2, y + at.high - 4, cells[answer].letter, { 'text-anchor': 'middle' }));
    group.append(svg('title', {}, document.createTextNode(sentence(row, hold, answer, titles))));
    group.addEventListener('click', () => onPick({ setpoint_k: row.setpoint_k, hold_s: hold }));
    return group;
  }

  /// @param titles  of zones and items, by name
  /// @param onPick  told {setpoint_k, hold_s} of a square that was clicked
  page.drawMap = function (container, map, setting, titles, onPick) {
    const rows = [...map.rows].reverse();
    const at = shape(map, container.clientWidth || 600);
    const width = at.left + map.hold_s.length * at.step + 8;
    const high = at.top + rows.length * at.high + at.bottom;
    const does = map.rows.filter((row) => row.answers.includes('feasible'));
    const label = does.length === 0 ? 'No set point and hold does both: cure every zone and spare everything.'
      : 'Set points from ' + units.temperature(does[0].setpoint_k) + ' to ' + units.temperature(does[does.length - 1].setpoint_k) + ' do.';
    const drawing = svg('svg', { viewBox: '0 0 ' + width + ' ' + high, width, height: high, role: 'img', 'aria-label': label, class: 'map' },
      ...axes(map, at, rows));
    rows.forEach((row, r) => map.hold_s.forEach((hold, c) => drawing.append(square(at, row, r, hold, c, row.answers[c], titles, onPick))));
    const here = svg('rect', { class: 'here', width: at.step + 3, height: at.high + 3, fill: 'none' });
    drawing.append(here);
    container.replaceChildren(drawing, element('p', { class: 'hint' }, label + ' A click sets the cycle.'), key(map));
    const mark = (next) => {
      const found = nearest(map, rows, next);
      here.setAttribute('visibility', found ? 'visible' : 'hidden');
      if (!found) return;
      here.setAttribute('x', at.left + found[1] * at.step - 2);
      here.setAttribute('y', at.top + found[0] * at.high - 2);
    };
    mark(setting);
    return { mark };
  };
})(window.bakewright);
