// SPDX-License-Identifier: Apache-2.0
'use strict';
// A part of a shell is moved and resized on its drawing: by its body and corners, or by arrow keys.
(function (page) {
  const stepM = 0.05;
  const leastM = 0.02;
  const keysOf = ['from', 'to', 'low', 'high'];
  const lookAlike = { left_side: 'sides', right_side: 'sides', front_end: 'ends', rear_end: 'ends' };
  const metres = (text) => Number.parseFloat(text) || 0;

  /// Extents of a rectangle on a view [m]: from the front or the left of who looks at it, from the ground or the right side.
  function extentsOf(box, rect) {
    const isTurned = box.view.view === 'right_side';  // its front is at the right
    const across = [rect.x - box.x, rect.x + rect.w - box.x].map((x) => x / box.w * box.view.width_m);
    const [from, to] = isTurned ? [box.view.width_m - across[1], box.view.width_m - across[0]] : across;
    const up = (y) => (1 - (y - box.y) / box.h) * box.view.height_m;
    return { from, to, low: up(rect.y + rect.h), high: up(rect.y) };
  }

  /// Which of a part's places a shape shows; 0 of a part whose place is guessed.
  function placeOf(part, box, extents) {
    const isThere = (place) => [box.view.view, lookAlike[box.view.view]].includes(place.side);
    const at = part.places.findIndex((place) => isThere(place) && keysOf.every((key) => Math.abs(metres(place[key]) - extents[key]) < 0.03));
    return at >= 0 ? at : part.places.length ? -1 : 0;
  }

  function within(extents, box) {
    const kept = { ...extents };
    for (const [low, high, size] of [['from', 'to', box.view.width_m], ['low', 'high', box.view.height_m]]) {
      kept[low] = Math.min(Math.max(0, kept[low]), size - leastM);
      kept[high] = Math.min(Math.max(kept[low] + leastM, kept[high]), size);
    }
    return kept;
  }

  /// Moved whole: as far as the view goes.
  function shifted(extents, across, up, box) {
    const x = Math.min(Math.max(across, -extents.from), box.view.width_m - extents.to);
    const y = Math.min(Math.max(up, -extents.low), box.view.height_m - extents.high);
    return { from: extents.from + x, to: extents.to + x, low: extents.low + y, high: extents.high + y };
  }

  function rectOf(box, extents) {
    const isTurned = box.view.view === 'right_side';
    const [left, right] = isTurned ? [box.view.width_m - extents.to, box.view.width_m - extents.from] : [extents.from, extents.to];
    return { x: box.x + left / box.view.width_m * box.w, width: (right - left) / box.view.width_m * box.w,
      y: box.y + (1 - extents.high / box.view.height_m) * box.h, height: (extents.high - extents.low) / box.view.height_m * box.h };
  }

  /// @param given  {picture, part(name), picked(), send(part, said)}
  /// @returns {key(event, shape), wasDragged()}
  page.partMover = function (given) {
    const svg = given.picture.element;
    let held = null;     // what is dragged, or stepped by keys
    let dragged = false;
    const boxOf = (shape) => given.picture.boxes().find((box) => shape.x >= box.x - 1 && shape.x + shape.w <= box.x + box.w + 1 && shape.y >= box.y - 1 && shape.y + shape.h <= box.y + box.h + 1);
    const at = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());

    function hold(shape) {
      const box = boxOf(shape);
      const part = given.part(shape.zone);
      if (!box || !part) return null;
      const extents = extentsOf(box, shape);
      const index = placeOf(part, box, extents);
      return index < 0 ? null : { shape, box, part, index, before: extents, extents, ghost: page.pictures.node('rect', { class: 'drawn-new' }, svg) };
    }

    function show() {
      for (const [name, value] of Object.entries(rectOf(held.box, held.extents))) held.ghost.setAttribute(name, value);
    }

    /// One step of the text, of what differs.
    function settle() {
      const { part, box, index, before, extents, ghost } = held;
      held = null;
      ghost.remove();
      const said = {};
      const isGuess = !part.places.length;
      for (const key of keysOf) if (isGuess || Math.abs(extents[key] - before[key]) > 0.004) said['place[' + index + '].' + key] = extents[key].toFixed(2) + ' m';
      if (isGuess) said['place[0].side'] = lookAlike[box.view.view] && box.view.view !== 'front_end' && box.view.view !== 'rear_end' ? 'sides' : box.view.view;
      if (Object.keys(said).length && keysOf.some((key) => Math.abs(extents[key] - before[key]) > 0.004)) given.send(part.name, said);
    }

    function drop() {
      if (held) held.ghost.remove();
      held = null;
    }

    /// A finger on it moves it, not the page.
    const keep = (event) => event.preventDefault();

    for (const shape of given.picture.shapes()) {
      if (shape.zone !== given.picked()) continue;
      shape.group.classList.add('movable');
      for (const [x, y] of [[0, 0], [1, 0], [0, 1], [1, 1]]) {
        const middle = { x: shape.x + x * shape.w, y: shape.y + y * shape.h };
        const handle = page.pictures.node('g', { class: 'drawn-handle' }, svg);
        page.pictures.node('rect', { x: middle.x - 22, y: middle.y - 22, width: 44, height: 44, class: 'grasp' }, handle);
        page.pictures.node('rect', { x: middle.x - 5, y: middle.y - 5, width: 10, height: 10, class: 'grip' }, handle);
        handle.addEventListener('pointerdown', (event) => begin(event, shape, { x, y }));
        handle.addEventListener('touchstart', keep, { passive: false });
      }
      shape.group.addEventListener('touchstart', keep, { passive: false });
      shape.group.addEventListener('pointerdown', (event) => begin(event, shape, null));
    }

    function begin(event, shape, corner) {
      if (event.button !== 0) return;
      drop();
      held = hold(shape);
      if (!held) return;
      event.preventDefault();
      event.stopPropagation();
      dragged = false;
      Object.assign(held, { corner, start: at(event) });
      svg.setPointerCapture(event.pointerId);
    }

    svg.addEventListener('pointermove', (event) => {
      if (!held || !held.start) return;
      const now = at(event);
      const { box, before, corner, start } = held;
      if (Math.hypot(now.x - start.x, now.y - start.y) > 4) dragged = true;
      if (!dragged) return;
      const turned = box.view.view === 'right_side' ? -1 : 1;
      const across = turned * (now.x - start.x) / box.w * box.view.width_m;
      const up = -(now.y - start.y) / box.h * box.view.height_m;
      if (!corner) held.extents = shifted(before, across, up, box);
      else {
        const moved = { ...before };
        moved[(corner.x === 1) === (turned === 1) ? 'to' : 'from'] += across;
        moved[corner.y === 0 ? 'high' : 'low'] += up;
        held.extents = within(moved, box);
      }
      show();
    });
    const end = (event) => {
      if (!held || !held.start) return;
      if (event.type === 'pointerup' && dragged) settle();
      else drop();
    };
    svg.addEventListener('pointerup', end);
    svg.addEventListener('pointercancel', end);

    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    svg.addEventListener('keyup', (event) => { if (held && !held.start && ['Shift', 'Control', 'Meta'].includes(event.key)) settle(); });
    svg.addEventListener('focusout', () => { if (held && !held.start) settle(); });

    return {
      /// Shift with an arrow moves the part by 5 cm, Ctrl with one moves its right or upper edge. @returns whether it was one of them
      key(event, shape) {
        if (!ways[event.key] || !(event.shiftKey || event.ctrlKey || event.metaKey)) return false;
        if (!held || held.shape !== shape) { drop(); held = hold(shape); }
        if (!held) return true;
        const [x, y] = ways[event.key];
        const turned = held.box.view.view === 'right_side' ? -1 : 1;
        if (event.shiftKey) held.extents = shifted(held.extents, turned * x * stepM, y * stepM, held.box);
        else {
          const moved = { ...held.extents };
          moved[turned === 1 ? 'to' : 'from'] += turned * x * stepM;
          moved.high += y * stepM;
          held.extents = within(moved, held.box);
        }
        show();
        page.say(keysOf.map((key) => key + ' ' + held.extents[key].toFixed(2) + ' m').join(', '));
        return true;
      },
      /// Whether the pointer that goes up has moved a part, so that it picks none. Asked once.
      wasDragged() {
        const was = dragged;
        dragged = false;
        return was;
      },
    };
  };
})(window.bakewright);
