'use strict';
// Prepare a bake: what is baked, the cycle, and what comes of it while the cycle is moved.
(function (page) {
  const { element, units } = page;
  const setting = { shell: '', booth: '', coating: '', setpoint_k: 335.15, ramp_k_per_s: 2 / 60, hold_s: 2700, flash_off_s: 600,
    start_temperature_k: 293.15, out: [], history: false };
  const found = {};      // parts of the view that are filled
  const bounds = {};     // what booth, coating and shell allow
  let chart = null;
  let map = null;
  let selected = null;
  let waiting = null;    // the newest setting that has not been asked for
  let asking = false;
  let work = { certainty: null, map: null };
  let settled = 0;
  const timings = [];
  page.timings = timings;  // for the bench: milliseconds from a moved control to the drawn answer

  const request = () => ({ ...setting, units: units.name });

  // --- the controls -----------------------------------------------------------------------------------------------------------

  /// One number that is moved: minus, the number itself, plus, and a slider.
  class Mover {
    /// @param made  {id, label, unit(), toShown, fromShown, least, most, step, key}
    constructor(made) {
      this.made = made;
      const id = 'move-' + made.id;
      this.number = element('input', { type: 'number', id, inputmode: 'decimal', onchange: () => this.take(this.number.value) });
      this.slider = element('input', { type: 'range', 'aria-labelledby': id + '-label', oninput: () => this.take(this.slider.value) });
      this.unit = element('span', { class: 'unit' });
      this.less = element('button', { type: 'button', class: 'step', 'aria-label': 'less: ' + made.label, onclick: () => this.nudge(-1) }, '−');
      this.more = element('button', { type: 'button', class: 'step', 'aria-label': 'more: ' + made.label, onclick: () => this.nudge(1) }, '+');
      this.node = element('div', { class: 'mover' }, element('label', { for: id, id: id + '-label' }, made.label),
        element('div', { class: 'row' }, this.less, this.number, this.unit, this.more), this.slider);
    }
    nudge(direction) { this.take(Number(this.number.value) + direction * this.made.step()); }
    take(shown) {
      const value = Number(shown);
      if (!Number.isFinite(value) || shown === '') return this.show();
      const [least, most] = this.limits();
      setting[this.made.key] = this.made.fromShown(Math.min(most, Math.max(least, value)));
      this.show();
      moved();
    }
    limits() { return [this.made.least(), this.made.most()]; }
    show() {
      const [least, most] = this.limits();
      const step = this.made.step();
      const shown = Math.round(this.made.toShown(setting[this.made.key]) / step) * step;
      for (const input of [this.number, this.slider]) {
        input.min = least; input.max = most; input.step = step;
        input.value = Number(shown.toFixed(2));
      }
      this.unit.textContent = this.made.unit();
      this.slider.setAttribute('aria-valuetext', Number(shown.toFixed(2)) + ' ' + this.made.unit());
    }
  }

  const temperatures = { toShown: (k) => units.fromKelvin(k), fromShown: (shown) => units.toKelvin(shown), unit: () => units.symbol };
  const minutes = { toShown: (s) => s / 60, fromShown: (shown) => shown * 60, unit: () => 'min' };
  const whole = (k, round) => round(units.fromKelvin(k));
  const movers = [
    new Mover({ id: 'setpoint', label: 'Set point of the air', key: 'setpoint_k', ...temperatures, step: () => 1,
      least: () => whole(bounds.lowest_setpoint_k, Math.ceil), most: () => whole(bounds.highest_setpoint_k, Math.floor) }),
    new Mover({ id: 'hold', label: 'Hold', key: 'hold_s', ...minutes, step: () => 5, least: () => 5, most: () => 240 }),
    new Mover({ id: 'ramp', label: 'Ramp', key: 'ramp_k_per_s', step: () => (units.name === 'us' ? 0.5 : 0.25),
      toShown: (rate) => units.differenceFromKelvin(rate) * 60, fromShown: (shown) => units.differenceToKelvin(shown) / 60,
      unit: () => units.symbol + '/min', least: () => 0.5,
      most: () => Math.floor(units.differenceFromKelvin(bounds.largest_ramp_k_per_s) * 60 * 4 + 1e-9) / 4 }),
    new Mover({ id: 'purge', label: 'Vapour purge before the burner', key: 'purge_s', ...minutes, step: () => 1, least: () => (bounds.purges_by_itself ? 0 : 1), most: () => 30 }),
    new Mover({ id: 'flash', label: 'Flash-off before heat', key: 'flash_off_s', ...minutes, step: () => 1, least: () => 0, most: () => 120 }),
    new Mover({ id: 'start', label: 'Shell at the start', key: 'start_temperature_k', ...temperatures, step: () => 1,
      least: () => whole(263.15, Math.ceil), most: () => whole(323.15, Math.floor) }),
  ];

  function aboard() {
    const boxes = (bounds.items || []).map((item) => element('label', { class: 'box' },
      element('input', { type: 'checkbox', checked: !setting.out.includes(item.name), onchange: (event) => {
        setting.out = setting.out.filter((name) => name !== item.name);
        if (!event.target.checked) setting.out.push(item.name);
        moved(true);
      } }), element('span', {}, item.title)));
    const soFar = element('label', { class: 'box' }, element('input', { type: 'checkbox', checked: setting.history, onchange: (event) => {
      setting.history = event.target.checked;
      moved(true);
    } }), element('span', {}, 'Count what this shell has had so far'));
    page.fill(found.aboard, boxes.length ? [element('legend', {}, 'Aboard while it bakes'), boxes] : [], bounds.has_history ? soFar : null);
  }

  function blocked(list) {
    found.checks = list;
    const refusal = list.refusal();
    found.block.hidden = refusal === '';
    found.block.textContent = refusal;
    found.open.hidden = list.open() === '';
    found.open.textContent = list.open();
    for (const button of [found.keep, found.search]) button.disabled = refusal !== '';
    showCard();
    pointToCard();
  }

  /// A bake that is UNDER or OVER has no card, nor one with something still in that must be out.
  function showCard() {
    const word = found.answer ? found.answer.verdict.worst : '';
    const isBad = word === 'UNDER' || word === 'OVER';
    found.card.hidden = isBad || !found.block.hidden;
    found.noCard.hidden = !isBad;
    found.noCard.textContent = isBad ? 'No card for a bake that is ' + word + '.' : '';
  }

  function drawChecks() { page.drawChecklist(found.checklist, 'prepare', blocked); }

  /// The card is of what is set now.
  function pointToCard() {
    found.card.href = page.cardAddress('', { ...request(), start: found.start.value || undefined, title: found.title.value || undefined,
      ...(found.checks ? found.checks.answers() : {}) });
  }

  // --- asking and drawing -----------------------------------------------------------------------------------------------------

  function moved(shellChanged) {
    waiting = { at: performance.now(), shellChanged };
    if (work.certainty) work.certainty.stop();  // it was reckoned for what is not set any more
    work.certainty = null;
    clearTimeout(settled);
    settled = setTimeout(whenSettled, 500);
    if (map) map.mark(setting);
    if (!asking) askNext();
  }

  async function askNext() {
    asking = true;
    while (waiting) {
      const asked = waiting;
      waiting = null;
      try {
        const answer = await page.post('/api/prepare', request());
        page.showProblems([]);
        draw(answer);
        timings.push(performance.now() - asked.at);
      } catch (error) {
        page.showProblems(error.problems || [{ message: error.message }]);
      }
    }
    asking = false;
  }

  function draw(answer) {
    found.answer = answer;
    showCard();
    pointToCard();
    answer.words.warnings.push(...answer.coats_over_baked);
    words(answer.words, false);
    const traces = answer.prediction.traces;
    const shown = traces.filter((trace) => trace.role !== 'cavity_air' && trace.role !== 'booth_wall');
    chart.hasLanes = Boolean(answer.course);
    chart.titles = answer.titles;
    chart.setBands([]);  // they were reckoned for what is not set any more
    chart.draw(shown.map((trace) => ({ trace, kind: 'predicted' })), answer.lines, null, selected);
    page.fill(found.cycle, page.table(answer.cycle, 'The cycle'),
      Math.abs(answer.ramp_k_per_s - setting.ramp_k_per_s) > 1e-6 ? element('p', { class: 'hint' }, 'Booth or coating allow no faster ramp than ' +
        (units.differenceFromKelvin(answer.ramp_k_per_s) * 60).toFixed(1) + ' ' + units.symbol + '/min.') : null);
    found.where.hidden = !answer.drawing;
    if (page.drawPictures) page.drawPictures(found, answer, { selected, onPick: pick });
  }

  /// @param isSure  whether the words rest on their chances; until then GOOD is not said
  function words(said, isSure) {
    const isOpen = !isSure && said.worst.startsWith('GOOD');
    page.fill(found.headline, isOpen ? element('p', { class: 'hint' }, 'Working out how sure this is …') : page.headline(said.worst),
      page.list(said.questions.concat(said.warnings), 'warnings'));
    if (!isOpen) page.say(said.worst);
    for (const part of [found.zones, found.items]) part.classList.toggle('pending', !isSure);
    page.fill(found.zones, page.table(said.zones, 'Zones, worst first', pick));
    page.fill(found.items, page.table(said.items, 'Heat-sensitive items, worst first', pick));
    page.fill(found.certainty, said.certainty.length ? [element('h3', {}, 'How sure'), page.list(said.certainty)] : null,
      said.assumed.length ? [element('h3', {}, 'Taken for granted'), page.list(said.assumed)] : null);
  }

  /// @param given  the name of a zone or item, or its title
  function pick(given) {
    const name = page.nameOf(given, found.answer.titles);
    selected = selected === name ? null : name;
    chart.pick(selected);
    if (page.drawPictures && found.answer) page.drawPictures(found, found.answer, { selected, onPick: pick });
  }

  /// Work that takes longer follows when the controls have come to rest.
  function whenSettled() {
    begin('certainty', '/api/prepare/certainty', null, (answer) => {
      words(answer.words, true);
      chart.setBands(answer.bands.bands);
    });
    const key = JSON.stringify({ ...request(), setpoint_k: 0, hold_s: 0 });
    if (key === found.mapKey) return;
    found.mapKey = key;
    map = null;
    begin('map', '/api/prepare/map', found.map, (answer) => { map = page.drawMap(found.map, answer, setting, found.answer ? found.answer.titles : {}, taken); });
  }

  function begin(kind, path, target, use) {
    if (work[kind]) work[kind].stop();
    const bar = element('progress', { max: 1, 'aria-label': 'reckoning' });
    if (target) page.fill(target, element('p', { class: 'hint' }, 'Reckoning which set points and holds do …'), bar);
    const mine = page.longWork(path, request(), (share) => { bar.value = share; });
    work[kind] = mine;
    mine.done.then((answer) => { if (answer && work[kind] === mine) use(answer); })
      .catch((error) => { if (work[kind] === mine && target) page.fill(target, page.list(page.problemLines(error.problems || [{ message: error.message }]), 'problems')); });
  }

  function taken(next) {
    Object.assign(setting, next);
    movers.forEach((mover) => mover.show());
    moved();
  }

  function search() {
    begin('search', '/api/prepare/search', found.searched, (answer) => {
      const chosen = answer.plan.chosen;
      if (!answer.plan.feasible || !chosen) { page.fill(found.searched, element('p', {}, 'No cycle does both. ' + answer.conflict)); return; }
      page.fill(found.searched, element('p', {}, 'Set to ' + units.temperature(chosen.setpoint_k) + ' and a hold of ' + units.duration(chosen.hold_s) + ': ' +
        units.duration(chosen.booth_time_s) + ' in the booth.'));
      taken({ setpoint_k: chosen.setpoint_k, hold_s: chosen.hold_s });
    });
  }

  async function keep() {
    try {
      const kept = await page.post('/api/prepare/keep', { ...request(), title: found.title.value || undefined });
      page.fill(found.searched, element('p', {}, 'Kept as bake ' + kept.bake + '. ', element('a', { href: '#bakes/' + kept.bake }, 'Look at it')));
      page.say('Kept as bake ' + kept.bake);
    } catch (error) {
      page.showProblems(error.problems || [{ message: error.message }]);
    }
  }

  // --- choosing ---------------------------------------------------------------------------------------------------------------

  async function chosen(key, value) {
    setting[key] = value;
    if (key === 'shell') {
      setting.out = [];
      drawChecks();  // what was looked for was looked for in another shell
    }
    try { localStorage.setItem('prepare-' + key, value); } catch (error) { /* a browser that keeps nothing */ }
    await readBounds(key);
    moved(true);
  }

  /// From another view: a shell or booth to go on with here.
  page.prepareWith = async function (key, value) {
    try { localStorage.setItem('prepare-' + key, value); } catch (error) { /* as above */ }
    page.go('prepare');
    if (!chart) return;  // the view begins with it
    await chosen(key, value);
    choosers();
  };

  async function readBounds(changed) {
    const query = ['shell', 'booth', 'coating'].map((key) => key + '=' + encodeURIComponent(setting[key])).join('&');
    Object.assign(bounds, await page.get('/api/prepare?' + query));
    if (changed === 'coating') setting.flash_off_s = bounds.flash_off_s;
    if (changed === 'booth' || setting.purge_s === undefined) setting.purge_s = bounds.purge_s;
    if (changed === 'booth') setting.start_temperature_k = bounds.ambient_k;
    setting.history = setting.history && bounds.has_history;
    setting.setpoint_k = Math.min(setting.setpoint_k, bounds.highest_setpoint_k);
    setting.ramp_k_per_s = Math.min(setting.ramp_k_per_s, bounds.largest_ramp_k_per_s);
    movers.forEach((mover) => mover.show());
    aboard();
  }

  function firstChoice(key, options) {
    let kept = null;
    try { kept = localStorage.getItem('prepare-' + key); } catch (error) { /* as above */ }
    const good = options.filter((option) => option.good);
    const known = good.find((option) => option.name === kept) || good[0];
    setting[key] = known ? known.name : '';
  }

  function choosers() {
    const chooser = (key, label, options) => page.field(label, page.choice(options, setting[key],
      (value) => chosen(key, value).catch((error) => page.showProblems(error.problems || [{ message: error.message }]))));
    page.fill(found.choosers, chooser('shell', 'Shell', page.shop.shells), chooser('coating', 'Coating', page.shop.coatings), chooser('booth', 'Booth', page.shop.booths));
  }

  function build(view) {
    const part = (name, tag, attributes) => { found[name] = element(tag || 'div', attributes || {}); return found[name]; };
    found.keep = element('button', { type: 'button', onclick: keep }, 'Keep in the book');
    found.search = element('button', { type: 'button', class: 'main', onclick: search }, 'Find the shortest cycle');
    found.title = element('input', { type: 'text', maxlength: '200', placeholder: 'clear, group 1', onchange: pointToCard });
    found.start = element('input', { type: 'datetime-local', onchange: pointToCard });
    found.card = element('a', { class: 'button', href: '/card', target: '_blank', rel: 'noopener' }, 'Bake card to print');
    const controls = element('form', { class: 'controls', onsubmit: (event) => event.preventDefault(), 'aria-label': 'What is baked, and the cycle' },
      part('choosers', 'div', { class: 'controls' }), movers.map((mover) => mover.node), part('aboard', 'fieldset', { class: 'aboard' }), found.search,
      page.field('Title in the book', found.title), found.keep, page.field('The bake starts at', found.start, 'empty: the card counts from the start'), found.card, part('noCard', 'p', { class: 'hint', hidden: true }), part('block', 'p', { class: 'block', hidden: true }), part('searched'));
    const outcome = element('div', { class: 'outcome' }, part('chart'), part('lanes'), part('key'),
      element('div', { class: 'pair' }, part('where', 'div', { hidden: true }),
        element('div', {}, element('h2', {}, 'Set points and holds that work'), part('map'))),
      part('zones'), part('items'), part('cycle'), part('certainty'), element('h2', {}, 'What must be out before heat'), part('checklist'),
      element('h2', {}, 'Cautions'), element('dl', { class: 'cautions' }, page.shop.cautions.flatMap((caution) =>
        [element('dt', {}, caution.subject), element('dd', {}, caution.text)])));
    page.fill(view, element('h1', {}, 'Prepare a bake'), element('div', { class: 'bench led' }, element('div', { class: 'answers' }, part('open', 'p', { class: 'block', hidden: true }), part('headline')), controls, outcome));
    page.fill(found.where, element('h2', {}, 'Where on the shell'), part('drawing'));
    chart = new page.TemperatureChart(found.chart, pick);
    found.chartObject = chart;
    choosers();
    page.onShop(choosers);
    drawChecks();
  }

  page.prepareView = {
    async begin(view) {
      firstChoice('shell', page.shop.shells);
      firstChoice('coating', page.shop.coatings);
      firstChoice('booth', page.shop.booths);
      build(view);
      await readBounds('coating');
      setting.start_temperature_k = bounds.ambient_k;
      movers.forEach((mover) => mover.show());
      units.onChange(() => { movers.forEach((mover) => mover.show()); found.mapKey = null; moved(); });
      moved(true);
    },
    show() { if (chart) chart.resize(); },
  };
})(window.bakewright);
