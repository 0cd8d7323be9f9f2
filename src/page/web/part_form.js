// SPDX-License-Identifier: Apache-2.0
'use strict';
// The form of one part of a shell, in words of the shop. Only what was said anew is sent.
(function (page) {
  const { element } = page;
  const flat = ['top', 'underside'];
  let lists = 0;  // of words to pick from

  const option = (value, words, chosen) => element('option', { value, selected: value === chosen }, words);
  const select = (key, choices, chosen) => element('select', { id: 'part-' + key, 'data-key': key }, choices.map((one) => option(one.value, one.words, chosen)));
  const text = (key, value, attributes) => element('input', { type: 'text', id: 'part-' + key, 'data-key': key, value, maxlength: '200', autocomplete: 'off', 'data-was': value, ...attributes });

  /// @param given  {shell, send(deed, part, said), remove(part), leave()}
  page.partForm = function (target, given) {
    const { shell } = given;
    const words = 'part-words-' + (++lists);
    const datalist = () => element('datalist', { id: words }, shell.materials.map((one) => element('option', { value: one })));
    const titleOf = (name) => (shell.parts.find((part) => part.name === name) || { title: name }).title;

    /// A field, with room beneath it for how it was read.
    function field(label, control, hint) {
      const said = element('span', { class: 'hint said', id: 'said-' + control.dataset.key });
      control.setAttribute('aria-describedby', said.id);
      return element('div', {}, page.field(label, control, hint), said);
    }

    function told(key, ...what) {
      const at = Array.from(target.querySelectorAll('.said')).find((one) => one.id === 'said-' + key);
      if (at) page.fill(at, ...what);
      return at;
    }

    function problem(one) {
      const control = Array.from(target.querySelectorAll('[data-key]')).find((field) => field.dataset.key === one.key);
      if (!control) { page.showProblems([one]); return; }
      control.setAttribute('aria-invalid', 'true');
      told(one.key, one.message, one.meant ? element('button', { type: 'button', class: 'pick', onclick: () => { control.value = one.meant; control.form.requestSubmit(); } }, one.meant) : null);
      control.focus();
      if (control.select) control.select();
    }

    /// @param said  what is sent, by key
    async function submit(deed, part, said) {
      page.showProblems([]);
      for (const control of target.querySelectorAll('[aria-invalid]')) { control.removeAttribute('aria-invalid'); told(control.dataset.key); }
      try {
        const wrong = await given.send(deed, part, said);
        if (wrong) problem(wrong);
      } catch (error) {
        page.showProblems(error.problems || [{ message: error.message }]);
      }
    }

    function esc(event) {
      if (event.key !== 'Escape') return;
      event.preventDefault();
      given.leave();
    }

    // --- a part that is there

    const gap = 'gap';
    function layerRow(layer, index, rows, isOnly) {
      const row = element('div', { class: 'layer' },
        field(index === 0 ? 'Made of' : 'Then', text('material[' + index + ']', layer.material, { list: words })),
        field(layer.material === gap ? 'How wide' : 'How thick', text('thickness[' + index + ']', layer.thickness)),
        isOnly ? null : element('button', { type: 'button', class: 'out', 'aria-label': 'take out layer ' + (index + 1) + ', ' + layer.material, onclick: () => { row.remove(); number(rows); } }, '\u00d7'));
      return row;
    }

    /// After a layer went or came: keys follow the order.
    function number(rows) {
      Array.from(rows.children).forEach((row, index) => {
        const [material, thickness] = row.querySelectorAll('input');
        material.dataset.key = 'material[' + index + ']';
        thickness.dataset.key = 'thickness[' + index + ']';
      });
      rows.dataset.changed = 'yes';
    }

    function moreLayers(rows) {
      const index = rows.children.length;
      rows.append(layerRow({ material: '', thickness: '' }, index, rows, false));
      number(rows);
      rows.lastChild.querySelector('input').focus();
    }

    function joint(one) {
      const how = one.how ? shell.seams : ['', ...shell.seams];
      return element('div', { class: 'joint' },
        field('To ' + titleOf(one.part), select('joint[' + one.link + ']', how.map((seam) => ({ value: seam, words: seam || 'as written: ' + Number(one.conductance_w_per_k.toPrecision(3)) + ' W/K' })), one.how)),
        field('How much', text('extent[' + one.link + ']', one.extent, { placeholder: one.how ? '' : 'as drawn' })));
    }

    function newJoint(part) {
      const others = shell.parts.filter((one) => one.name !== part.name && !part.joints.some((joint) => joint.part === one.name));
      return element('details', { class: 'fold' }, element('summary', {}, 'Joined to one more'),
        field('To', select('join', [{ value: '', words: 'nothing more' }, ...others.map((one) => ({ value: one.name, words: one.title }))], '')),
        element('div', { class: 'joint' },
          field('How', select('join_how', shell.seams.map((seam) => ({ value: seam, words: seam })), shell.seams[0])),
          field('How much', text('join_extent', '', { placeholder: 'as drawn' }), 'metres of seam, or how many bolts, hinges, clips')));
    }

    /// What differs from what was shown.
    function changed(form, part, rows) {
      const said = {};
      const layers = Array.from(rows.querySelectorAll('input'));
      if (rows.dataset.changed || layers.some((control) => control.value !== control.dataset.was))
        for (const control of layers) said[control.dataset.key] = control.value;
      for (const control of form.querySelectorAll('[data-key]')) {
        const key = control.dataset.key;
        if (layers.includes(control) || key.startsWith('join_')) continue;
        const was = { behind: part.behind, finish: part.finish, join: '' }[key];
        const seam = part.joints.find((one) => key === 'joint[' + one.link + ']');
        const before = seam ? seam.how : was === undefined ? control.dataset.was : was;
        if (control.value !== before) said[key] = control.value;
      }
      if (said.join) for (const key of ['join_how', 'join_extent']) said[key] = form.querySelector('[data-key=' + key + ']').value;
      return said;
    }

    function show(name, understood) {
      const part = shell.parts.find((one) => one.name === name);
      const rows = element('div', {});
      part.layers.forEach((layer, index) => rows.append(layerRow(layer, index, rows, part.layers.length === 1)));
      const finishes = shell.finishes.filter((one) => one.value !== 'painted_masked' || part.finish === one.value);
      const form = element('form', { 'aria-label': part.title, onkeydown: esc, onsubmit: (event) => {
        event.preventDefault();
        const said = changed(form, part, rows);
        if (said.finish === 'off') { given.remove(part); return; }
        if (Object.keys(said).length) submit('change', part.name, said);
      } },
      element('h2', { tabindex: '-1' }, part.title), element('p', { class: 'hint' }, Math.round(part.mass_kg * 10) / 10 + ' kg' + (part.is_assumed ? '. What it is made of is assumed.' : '')), datalist(),
      field('Called', text('title', part.title)), rows,
      element('button', { type: 'button', class: 'pick', onclick: () => moreLayers(rows) }, 'One more layer behind'),
      field('Behind it', select('behind', shell.behinds, part.behind)),
      field('Finish', select('finish', [...finishes, { value: 'off', words: 'comes off' }], part.finish)),
      field('Area of one face', text('area', part.area)), placeFields(part),
      element('fieldset', { class: 'check' }, element('legend', {}, part.joints.length ? 'What holds it' : 'Nothing holds it, as far as is said'), part.joints.map(joint), newJoint(part)),
      element('div', { class: 'row' }, element('button', { type: 'submit' }, 'Change it'), element('button', { type: 'button', onclick: () => given.remove(part) }, 'Take it out'),
        element('button', { type: 'button', onclick: given.leave }, 'Close')));
      page.fill(target, form);
      for (const read of understood || []) told(read.key, '= ' + read.said);
      if ((understood || []).some((read) => read.key === 'height')) form.querySelector('#said-height').closest('details').open = true;
    }

    // --- where it is

    /// Each rectangle of it on the drawing, by numbers; what follows from a change is told in a line.
    function placeFields(part) {
      const rows = (part.places.length ? part.places : [{ side: '', from: '', to: '', low: '', high: '' }]).map((place, at) => {
        const key = (name) => 'place[' + at + '].' + name;
        const side = select(key('side'), [...(place.side ? [] : [{ value: '', words: 'drawn by a guess' }]), ...shell.sides], place.side);
        side.dataset.was = place.side;
        return element('div', {}, field('On', side), element('div', { class: 'extents' },
          Object.entries(extents(place.side || 'sides')).map(([name, label]) => field(label, text(key(name), place[name])))));
      });
      return element('details', { class: 'fold', open: false }, element('summary', {}, 'Where it is: middle ' + part.height_m.toFixed(2) + ' m over the ground'), rows,
        element('p', { class: 'hint said', id: 'said-height' }), element('p', { class: 'hint' }, 'Higher parts meet hotter air. Height and length go with the drawing, and an area that follows from the sizes; one that somebody wrote stays.'));
    }

    // --- a part more

    function extents(side) {
      const isFlat = flat.includes(side);
      const isEnd = ['front_end', 'rear_end', 'inside', 'beside'].includes(side);
      return { from: isEnd ? 'From, right of its left edge' : 'From, behind the front', to: 'To', low: isFlat ? 'From, left of its right side' : 'Lower edge, over the ground', high: isFlat ? 'To' : 'Upper edge' };
    }

    function add() {
      const rows = element('div', { class: 'extents' });
      const place = (side) => page.fill(rows, Object.entries(extents(side)).map(([key, label]) => field(label, text(key, '', { placeholder: key === 'from' || key === 'low' ? '0' : 'all the way' }))));
      const side = select('side', shell.sides, 'sides');
      side.addEventListener('change', () => place(side.value));
      const form = element('form', { 'aria-label': 'A part more', onkeydown: esc, onsubmit: (event) => {
        event.preventDefault();
        const said = {};
        for (const control of form.querySelectorAll('[data-key]')) if (control.value !== '') said[control.dataset.key] = control.value;
        submit('add', null, said);
      } },
      element('h2', {}, 'A part more'), element('p', { class: 'hint' }, 'Draw its outline on a view, or type where it is.'), field('Called', text('title', '')), field('On', side), rows,
      field('Made of, outside first', text('made_of', ''), 'such as 18 ga steel, or 1.0 steel, 30 gap, 0.8 steel'),
      field('Behind it', select('behind', [{ value: '', words: 'as is usual there' }, ...shell.behinds], '')),
      field('Finish', select('finish', [{ value: '', words: 'as is usual there' }, ...shell.finishes.filter((one) => one.value !== 'painted_masked')], '')),
      element('div', { class: 'row' }, element('button', { type: 'submit' }, 'Add it'), element('button', { type: 'button', onclick: given.leave }, 'Close')));
      place('sides');
      page.fill(target, form);
      form.querySelector('input').focus();
    }

    return {
      show, add,
      /// Where a part more is, as it was drawn: side, from, to, low, high.
      place(extents) {
        for (const [key, value] of Object.entries(extents)) {
          const control = document.getElementById('part-' + key);
          control.value = value;
          if (key === 'side') control.dispatchEvent(new Event('change'));
        }
        page.say('placed');
      },
      empty() { page.fill(target, element('h2', {}, 'No part is picked'), element('p', {}, 'Tap a part, or go from part to part with the arrow keys and press Enter. Dashed edge: assumed. Grey: not painted.'), element('p', { class: 'hint' }, shell.parts.length + ' parts, ' + Math.round(shell.parts.reduce((sum, part) => sum + part.mass_kg, 0)) + ' kg together.')); },
    };
  };
})(window.bakewright);
