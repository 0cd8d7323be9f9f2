// SPDX-License-Identifier: Apache-2.0
'use strict';
// The drawing of a shell is its editor: a part is picked on it, and its form stands beside. What is said goes into the text.
(function (page) {
  const { element } = page;
  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

  const middle = (shape) => ({ x: shape.x + shape.w / 2, y: shape.y + shape.h / 2 });

  /// The nearest shape in a direction; what lies aside counts double.
  function nextOf(shapes, from, [x, y]) {
    const start = middle(from);
    let best = null;
    for (const shape of shapes) {
      const to = middle(shape);
      const ahead = (to.x - start.x) * x + (to.y - start.y) * y;
      const aside = Math.abs((to.x - start.x) * y) + Math.abs((to.y - start.y) * x);
      if (shape === from || ahead < 1) continue;
      const far = ahead + 2 * aside;
      if (!best || far < best.far) best = { shape, far };
    }
    return best ? best.shape : null;
  }

  /// Long views first, each with two short ones beside it.
  function inRows(views) {
    const longest = Math.max(...views.map((view) => view.width_m));
    const short = views.filter((view) => view.width_m < 0.6 * longest);
    const rows = views.filter((view) => !short.includes(view)).flatMap((view) => [view, ...short.splice(0, 2)]);
    return [...rows, ...short];
  }

  /// A rectangle drawn on a view, as the side and the extents of a part: metres from the front or the left, from the ground or the right.
  function extentsOf(box, a, b) {
    const share = (value, from, size) => Math.min(1, Math.max(0, (value - from) / size));
    const isTurned = box.view.view === 'right_side';  // its front is at the right
    const across = [a.x, b.x].map((x) => share(x, box.x, box.w)).map((value) => (isTurned ? 1 - value : value)).sort((p, q) => p - q);
    const up = [a.y, b.y].map((y) => 1 - share(y, box.y, box.h)).sort((p, q) => p - q);
    const metres = (value, size) => (value * size).toFixed(2) + ' m';
    return { side: box.view.view, from: metres(across[0], box.view.width_m), to: metres(across[1], box.view.width_m), low: metres(up[0], box.view.height_m), high: metres(up[1], box.view.height_m) };
  }

  /// While a part is added, its rectangle can be drawn in place of typing where it is.
  function drawable(picture, isOn, done) {
    const svg = picture.element;
    let begun = null;
    const at = (event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    svg.addEventListener('pointerdown', (event) => {
      const start = at(event);
      const box = isOn() && picture.boxes().find((one) => start.x >= one.x && start.x <= one.x + one.w && start.y >= one.y && start.y <= one.y + one.h);
      if (!box) return;
      event.preventDefault();
      svg.querySelectorAll('.drawn-new').forEach((one) => one.remove());
      svg.setPointerCapture(event.pointerId);
      begun = { box, start, rect: page.pictures.node('rect', { class: 'drawn-new' }, svg) };
    });
    svg.addEventListener('pointermove', (event) => {
      if (!begun) return;
      const now = at(event);
      for (const [name, value] of Object.entries({ x: Math.min(begun.start.x, now.x), y: Math.min(begun.start.y, now.y), width: Math.abs(now.x - begun.start.x), height: Math.abs(now.y - begun.start.y) })) begun.rect.setAttribute(name, value);
    });
    const end = (event) => {
      if (!begun) return;
      const { box, start, rect } = begun;
      const now = at(event);
      begun = null;
      const isRectangle = event.type === 'pointerup' && Math.abs(now.x - start.x) > 4 && Math.abs(now.y - start.y) > 4;
      if (isRectangle) done(extentsOf(box, start, now));
      else rect.remove();
    };
    svg.addEventListener('pointerup', end);
    svg.addEventListener('pointercancel', end);
  }

  /// @param current  the text as it is
  /// @param change   gets one that was made of it: one step
  /// @returns {show(text), hide(), redraw()}
  page.shellEditor = function (target, current, change) {
    const found = {};
    let shell = null;      // what the program says of the text: parts, drawing, choices
    let picked = null;     // name of the part whose form stands beside
    let isAdding = false;  // the form of a part more stands there
    let adding = null;     // that form
    let stop = 0;          // the shape that the Tab key comes to
    let picture = null;
    let mover = null;      // of the picked part on it
    let number = 0;
    let reading = null;    // what the program is asked of the text as it is
    const formOf = () => page.partForm(found.form, { shell, send, remove, leave });

    page.fill(target, element('div', { class: 'shell-editor' },
      element('div', { class: 'card-box' },
        element('div', { class: 'row drawing-head' }, element('h2', {}, 'Pick a part'), found.add = element('button', { type: 'button', onclick: begin }, 'Add a part')),
        element('p', { class: 'hint' }, 'A picked part is moved by its body and resized by its corners; with Shift and arrow keys it moves by 5 cm, with Ctrl and arrow keys its right and upper edges do.'),
        found.drawing = element('div')),
      found.form = element('div', { class: 'card-box part-form' })));

    const focused = () => picture.shapes().findIndex((shape) => shape.group === document.activeElement);

    function stopAt(index) {
      const shapes = picture.shapes();
      stop = Math.min(Math.max(0, index), shapes.length - 1);
      shapes.forEach((shape, at) => shape.group.setAttribute('tabindex', at === stop ? '0' : '-1'));
    }

    function keys(event) {
      const at = focused();
      if (at < 0 || !arrows[event.key]) return;
      event.preventDefault();
      const shapes = picture.shapes();
      if (mover.key(event, shapes[at])) return;
      const next = nextOf(shapes, shapes[at], arrows[event.key]);
      if (!next) return;
      stopAt(shapes.indexOf(next));
      next.group.focus();
    }

    function draw() {
      const had = picture ? focused() : -1;
      const was = had >= 0 ? { zone: picture.shapes()[had].zone, label: picture.shapes()[had].group.getAttribute('aria-label') } : null;
      const parts = Object.fromEntries(shell.parts.map((part) => [part.name, { isAssumed: part.is_assumed }]));
      const { drawing, words } = page.withoutTwins(shell.drawing, true);
      const holder = element('div');
      page.fill(found.drawing, holder, words ? element('p', { class: 'hint' }, words) : null);
      picture = page.drawShell(holder, { views: inRows(drawing.views) }, { parts, compact: true, height: 104, selected: picked, onPick: pick });
      holder.addEventListener('keydown', keys);
      drawable(picture, () => isAdding, (extents) => adding.place(extents));
      picture.element.classList.toggle('is-drawable', isAdding);
      mover = page.partMover({ picture, part: (name) => shell.parts.find((part) => part.name === name), picked: () => (isAdding ? null : picked), send: move });
      // Shapes stand in the order of their size: the one that had the focus may be another one's number by now.
      const again = was ? picture.shapes().findIndex((shape) => shape.zone === was.zone && shape.group.getAttribute('aria-label') === was.label) : -1;
      stopAt(again >= 0 ? again : had >= 0 ? had : stop);
      if (had >= 0) picture.shapes()[stop].group.focus();
    }

    function pick(name) {
      if (isAdding || mover.wasDragged()) return;  // a rectangle is drawn over it, or it was moved
      const at = focused();
      if (at >= 0) stopAt(at);
      picked = name;
      draw();
      form();
      // With a finger a field would call up the keyboard over the drawing.
      found.form.querySelector(matchMedia('(pointer: coarse)').matches ? 'h2' : '[data-key="material[0]"]').focus();
    }

    /// Whoever types in it goes on at the same field.
    function form(understood) {
      const field = found.form.contains(document.activeElement) ? document.activeElement.id : '';
      if (!shell.parts.some((part) => part.name === picked)) picked = null;
      if (picked) formOf().show(picked, understood);
      else formOf().empty();
      const again = field && document.getElementById(field);
      if (again && found.form.contains(again)) again.focus();
    }

    /// From the form back to its part.
    function leave() {
      const name = picked;
      picked = null;
      isAdding = false;
      draw();
      form();
      const shapes = picture.shapes();
      if (name && shapes[stop].zone !== name) stopAt(shapes.findIndex((shape) => shape.zone === name));
      picture.shapes()[stop].group.focus();
    }

    /// What was not understood of it; null: nothing.
    async function send(deed, part, said) {
      const late = { key: '', message: 'The text has changed meanwhile. Press it once more.' };
      if (shell.text !== current()) await reading;  // of a step that was made a moment ago
      if (shell.text !== current()) return late;
      const mine = ++number;
      const answer = await page.post('/api/profiles/shell/parts', { text: shell.text, deed, part: part || undefined, said });
      if (mine !== number || answer.problem === null && shell.text !== current()) return late;
      if (answer.problem) return answer.problem;
      if (deed === 'add') picked = answer.part;
      isAdding = false;
      take(answer, answer.understood);
      change(answer.text);
      page.say(deed === 'remove' ? 'taken out' : 'changed');
      return null;
    }

    /// A part was moved or resized on the drawing: its form tells what follows.
    async function move(name, said) {
      picked = name;
      try {
        const wrong = await send('change', name, said);
        if (wrong) page.showProblems([wrong]);
      } catch (error) {
        page.showProblems(error.problems || [{ message: error.message }]);
      }
    }

    function remove(part) {
      const goes = [part.joints.length ? part.joints.length + (part.joints.length === 1 ? ' joint' : ' joints') : '', ...part.items].filter((one) => one);
      page.ask('Take out ' + part.title + '?', element('p', {}, (goes.length ? 'With it goes: ' + goes.join(', ') + '. ' : '') + 'Undo brings it back.'),
        [['Take it out', async () => { await send('remove', part.name, {}); picture.shapes()[stop].group.focus(); }]]);
    }

    function begin() {
      if (!shell || target.hidden) return;  // there is nothing to draw on yet
      picked = null;
      isAdding = true;
      draw();
      adding = formOf();
      adding.add();
    }

    const looksOf = (answer) => JSON.stringify([answer.drawing, answer.parts.map((part) => [part.name, part.is_assumed])]);
    const partOf = (answer) => JSON.stringify(answer ? answer.parts.find((part) => part.name === picked) : null);

    function take(answer, understood) {
      const isSame = !understood && shell && (isAdding || (picked !== null && partOf(shell) === partOf(answer)));
      const isDrawn = picture && !target.hidden && looksOf(shell) === looksOf(answer);
      shell = answer;
      target.hidden = false;
      if (isDrawn && !understood) picture.setSelected(picked);
      else draw();
      if (!isSame) form(understood);  // what is typed there and not said yet stays
    }

    return {
      /// A text without mistakes.
      async show(text) {
        if (shell && shell.text === text) { target.hidden = false; return; }
        const mine = ++number;
        reading = page.post('/api/profiles/shell/parts', { text });
        const answer = await reading;
        if (mine === number) take(answer);
      },
      hide() { target.hidden = true; },
      redraw() { if (picture && !target.hidden) { picture.redraw(); stopAt(stop); } },
    };
  };
})(window.bakewright);
