// SPDX-License-Identifier: Apache-2.0
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
  let startMinutes = null;  // of the day, where a start is set
  let asked = '';         // the question of the first view that is answered on top
  const timings = [];
  page.timings = timings;  // for the bench: milliseconds from a moved control to the drawn answer

  const request = () => ({ ...setting, units: units.name });

  // --- the controls -----------------------------------------------------------------------------------------------------------

  /// One number that is moved: minus, the number itself, plus. A button that is held goes on; arrow keys step too.
  class Mover {
    /// @param made  {id, label, unit(), toShown, fromShown, least, most, step, key}
    constructor(made) {
      this.made = made;
      const id = 'move-' + made.id;
      this.number = element('input', { type: 'number', id, inputmode: 'decimal', onchange: () => this.take(this.number.value) });
      this.unit = element('span', { class: 'unit' });
      this.node = element('div', { class: 'mover' }, element('label', { for: id, id: id + '-label' }, made.label, ' ', this.unit),
        element('div', { class: 'stepper' }, this.button('less', -1, '−'), this.number, this.button('more', 1, '+')));
    }
    button(what, direction, sign) {
      let timer = 0;
      const stop = () => { clearTimeout(timer); timer = 0; };
      const again = () => { this.nudge(direction); timer = setTimeout(again, 120); };
      return element('button', { type: 'button', class: 'step', 'aria-label': what + ': ' + this.made.label, onclick: (event) => { if (event.detail === 0) this.nudge(direction); },
        onpointerdown: (event) => { if (event.button !== 0) return; this.nudge(direction); stop(); timer = setTimeout(again, 450); },
        onpointerup: stop, onpointerleave: stop, onpointercancel: stop }, sign);
    }
    nudge(direction) { this.take(Number(this.number.value) + direction * this.made.step()); }
    take(shown) {
      const value = Number(shown);
      if (!Number.isFinite(value) || shown === '') return this.show();
      const [least, most] = this.limits();
      remember();
      setting[this.made.key] = this.made.fromShown(Math.min(most, Math.max(least, value)));
      this.show();
      moved();
    }
    limits() { return [this.made.least(), this.made.most()]; }
    show() {
      const [least, most] = this.limits();
      const step = this.made.step();
      const shown = Math.round(this.made.toShown(setting[this.made.key]) / step) * step;
      this.number.min = least; this.number.max = most; this.number.step = step;
      this.number.value = Number(shown.toFixed(2));
      this.unit.textContent = this.made.unit();
    }
  }

  // --- undo -------------------------------------------------------------------------------------------------------------------

  const past = [];
  const future = [];
  const settings = () => JSON.stringify(setting);
  function remember() {
    past.push(settings());
    if (past.length > 50) past.shift();
    future.length = 0;
  }
  function goBack(from, to) {
    if (from.length === 0) return;
    to.push(settings());
    const before = JSON.parse(from.pop());
    const isOther = ['shell', 'booth', 'coating'].some((key) => before[key] !== setting[key]);
    Object.assign(setting, before);
    movers.forEach((mover) => mover.show());
    aboard();
    if (isOther) { choosers(); readBounds().then(() => moved(true)).catch(failed); } else moved(true);
  }
  addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || document.getElementById('view-prepare').hidden) return;
    if (event.target.matches('input[type="text"], textarea')) return;
    event.preventDefault();
    if (event.shiftKey) goBack(future, past); else goBack(past, future);
  });

  const temperatures = { toShown: (k) => units.fromKelvin(k), fromShown: (shown) => units.toKelvin(shown), unit: () => units.symbol };
  const minutes = { toShown: (s) => s / 60, fromShown: (shown) => shown * 60, unit: () => 'min' };
  const whole = (k, round) => round(units.fromKelvin(k));
  const movers = [
    new Mover({ id: 'setpoint', label: 'Set point', key: 'setpoint_k', ...temperatures, step: () => 1,
      least: () => whole(bounds.lowest_setpoint_k, Math.ceil), most: () => whole(bounds.highest_setpoint_k, Math.floor) }),
    new Mover({ id: 'hold', label: 'Hold', key: 'hold_s', ...minutes, step: () => 5, least: () => 5, most: () => 240 }),
    new Mover({ id: 'ramp', label: 'Ramp', key: 'ramp_k_per_s', step: () => (units.name === 'us' ? 0.5 : 0.25),
      toShown: (rate) => units.differenceFromKelvin(rate) * 60, fromShown: (shown) => units.differenceToKelvin(shown) / 60,
      unit: () => units.symbol + '/min', least: () => 0.5,
      most: () => Math.floor(units.differenceFromKelvin(bounds.largest_ramp_k_per_s) * 60 * 4 + 1e-9) / 4 }),
    new Mover({ id: 'purge', label: 'Purge', key: 'purge_s', ...minutes, step: () => 1, least: () => (bounds.purges_by_itself ? 0 : 1), most: () => 30 }),
    new Mover({ id: 'flash', label: 'Flash-off', key: 'flash_off_s', ...minutes, step: () => 1, least: () => 0, most: () => 120 }),
    new Mover({ id: 'start', label: 'Shell at start', key: 'start_temperature_k', ...temperatures, step: () => 1,
      least: () => whole(263.15, Math.ceil), most: () => whole(323.15, Math.floor) }),
  ];

  function aboard() {
    const boxes = (bounds.items || []).map((item) => element('label', { class: 'box' },
      element('input', { type: 'checkbox', checked: !setting.out.includes(item.name), onchange: (event) => {
        remember();
        setting.out = setting.out.filter((name) => name !== item.name);
        if (!event.target.checked) setting.out.push(item.name);
        moved(true);
      } }), element('span', {}, item.title)));
    const soFar = element('label', { class: 'box' }, element('input', { type: 'checkbox', checked: setting.history, onchange: (event) => {
      setting.history = event.target.checked;
      moved(true);
    } }), element('span', {}, 'Count what this shell has had so far'));
    page.fill(found.aboard, boxes.length ? [element('legend', { class: 'unseen' }, 'Still in during the bake'), boxes] : [element('p', { class: 'hint' }, 'Nothing heat-sensitive in this shell.')], bounds.has_history ? soFar : null);
    found.aboardHead.textContent = 'Still in: ' + ((bounds.items || []).length - setting.out.length) + ' of ' + (bounds.items || []).length + ' items';
  }

  function blocked(list) {
    found.checks = list;
    const refusal = list.refusal();
    found.block.hidden = refusal === '';
    found.block.textContent = refusal;
    const open = list.unanswered();
    found.open.hidden = open === 0;
    found.open.textContent = 'Before heat: ' + open + ' load checks are open.';
    found.load.textContent = open === 0 ? 'Load checked' : 'Check the load, ' + (page.shop.checklist.length - open) + ' of ' + page.shop.checklist.length;
    found.load.classList.toggle('main', open > 0);
    found.checksHead.textContent = 'What must be out before heat: ' + (open === 0 ? 'all answered' : open + ' NOT CHECKED');
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
    if (work.certainty) work.certainty.stop();  // it was calculated for what is not set any more
    work.certainty = null;
    found.certain = null;
    found.said = null;
    clearTimeout(settled);
    settled = setTimeout(whenSettled, 500);
    if (map) map.mark(setting);
    if (!asking) askNext();
  }

  /// The verdict of another setting never stands beside an error: it turns to NOT JUDGED, and the pictures go.
  function refuse(error) {
    const problems = error.problems || [{ message: error.message }];
    page.showProblems(problems);
    found.answer = null;
    if (work.certainty) work.certainty.stop();
    work.certainty = null;
    clearTimeout(settled);
    chart.clear();
    page.clearPictures(found);
    page.fill(found.plate, page.badge('NOT JUDGED'));
    page.fill(found.headline, 'No answer for this setting.');
    page.fill(found.why, page.problemLines(problems)[0]);
    for (const part of [found.zones, found.items, found.cycle, found.certainty, found.warned]) page.fill(part);
    showCard();
    timings.push(0);
  }

  async function askNext() {
    asking = true;
    found.answers.classList.add('working');
    while (waiting) {
      const asked = waiting;
      waiting = null;
      try {
        const answer = await page.post('/api/prepare', request());
        page.showProblems([]);
        draw(answer);
        timings.push(performance.now() - asked.at);
      } catch (error) {
        refuse(error);
      }
    }
    asking = false;
    found.answers.classList.remove('working');
  }

  function draw(answer) {
    found.answer = answer;
    showCard();
    pointToCard();
    answer.words.warnings.push(...answer.coats_over_baked);
    const traces = answer.prediction.traces;
    const shown = traces.filter((trace) => trace.role !== 'cavity_air' && trace.role !== 'booth_wall');
    chart.hasLanes = Boolean(answer.course);
    chart.titles = answer.titles;
    chart.setBands([]);  // they were calculated for what is not set any more
    found.strong = page.strongCurves(shown, answer.course, answer.verdict);
    chart.draw(shown.map((trace) => ({ trace, kind: 'predicted' })), answer.lines, startMinutes, selected, { strong: found.strong, stages: answer.prediction.stages });
    page.fill(found.cycle, page.table(answer.cycle, 'The cycle'),
      Math.abs(answer.ramp_k_per_s - setting.ramp_k_per_s) > 1e-6 ? element('p', { class: 'hint' }, 'Booth or coating allow no faster ramp than ' +
        (units.differenceFromKelvin(answer.ramp_k_per_s) * 60).toFixed(1) + ' ' + units.symbol + '/min.') : null);
    found.where.hidden = !answer.drawing;
    page.drawPictures(found, answer, { selected, onPick: pick, startClock: startMinutes });
    words(answer.words, false);
    aboardWords(answer);
  }

  /// Items that stay in, with how hot they get, beside the head of their fold.
  function aboardWords(answer) {
    const hottest = answer.verdict.items.reduce((best, item) => (!best || item.peak_temperature_k > best.peak_temperature_k ? item : best), null);
    if (hottest && hottest.word !== 'NOT JUDGED')
      found.aboardHead.textContent = found.aboardHead.textContent.split(';')[0] + '; hottest ' + units.temperature(hottest.peak_temperature_k);
  }

  const titleOf = (name) => (found.answer && found.answer.titles[name]) || name;
  const moment = (s) => units.moment(s, startMinutes) + (startMinutes === null ? ' after the start' : '');

  /// What is set, when the heat goes off; the slowest zone and the item nearest to its limit.
  function headline(answer) {
    const off = chart.heatOff();
    page.fill(found.headline, 'Set ' + units.temperature(setting.setpoint_k) + ', hold ' + units.duration(setting.hold_s) + '.' + (off === null ? '' : ' Heat off ' + (startMinutes === null ? '' : 'at ') + moment(off) + '.'));
    page.fill(found.why, [slowestWords(answer), nearestWords(answer)].filter((words) => words).join(' '));
  }

  function slowestWords(answer) {
    const lane = answer.course && answer.course.zones.find((zone) => zone.spans.length);
    if (!lane) return '';
    return 'Slowest: ' + titleOf(lane.zone) + (lane.cured_from_s === null ? ', not good by the end.' : ', good ' + (startMinutes === null ? '' : 'at ') + moment(lane.cured_from_s) + '.');
  }

  function nearestWords(answer) {
    let best = null;
    for (const item of answer.verdict.items)
      for (const limit of item.limits) {
        const left = limit.temperature_k - item.peak_temperature_k;
        if (item.word !== 'NOT JUDGED' && limit.kind !== 'warn' && (!best || left < best.left)) best = { left, item };
      }
    if (!best) return '';
    const size = Math.abs(units.differenceFromKelvin(best.left)).toFixed(1) + ' ' + units.differenceSymbol;
    return 'Nearest its limit: ' + titleOf(best.item.item) + ', ' + (best.left < 0 ? size + ' over.' : size + ' left.');
  }

  /// @param isSure  whether the words rest on their chances; until then GOOD is not said
  function words(said, isSure) {
    const word = ['OVER', 'UNDER', 'CHECK', 'NOT JUDGED', 'GOOD'].find((one) => said.worst.startsWith(one)) || (said.worst.includes('GOOD') ? 'CHECK' : 'NOT JUDGED');
    const isOpen = !isSure && word === 'GOOD';
    const chance = said.certainty.map((sentence) => /^(over )?\d+ % sure/.exec(sentence)).find((one) => one);
    page.fill(found.plate, isOpen ? element('span', { class: 'word none' }, 'working') : page.badge(word),
      element('span', { class: 'hint' }, isOpen ? 'how sure is it?' : chance ? 'cure and limits, ' + chance[0] : 'cure and limits'));
    headline(found.answer);
    page.fill(found.warned, word === 'GOOD' ? null : element('p', {}, said.worst), page.list(said.questions.concat(said.warnings), 'warnings'));
    if (!isOpen) page.say(said.worst);
    if (isSure) found.said = said;
    tellAsked();
    for (const part of [found.zones, found.items]) part.classList.toggle('pending', !isSure);
    page.fill(found.zones, page.table(said.zones, 'Zones, worst first', pick));
    page.fill(found.items, page.table(said.items, 'Heat-sensitive items, worst first', pick));
    page.fill(found.certainty, said.certainty.length ? [element('h3', {}, 'How sure'), page.list(said.certainty)] : null,
      said.assumed.length ? [element('h3', {}, 'Assumed'), page.list(said.assumed)] : null);
  }

  /// @param given  the name of a zone or item, or its title
  function pick(given) {
    if (!found.answer) return;
    const name = given === null ? null : page.nameOf(given, found.answer.titles);
    selected = selected === name ? null : name;
    chart.pick(selected);
    page.drawPictures(found, found.answer, { selected, onPick: pick, startClock: startMinutes });
  }

  /// Work that takes longer follows when the controls have come to rest.
  function whenSettled() {
    begin('certainty', '/api/prepare/certainty', null, (answer) => {
      found.certain = answer;
      // The pictures say what the plate says: words by their chances.
      found.answer = { ...found.answer, verdict: answer.verdict, course: answer.course };
      found.strong = page.strongCurves(found.answer.prediction.traces, answer.course, answer.verdict);
      chart.strong = found.strong;
      chart.pick(selected);
      page.drawPictures(found, found.answer, { selected, onPick: pick, startClock: startMinutes });
      words(answer.words, true);
      chart.setBands(answer.bands.bands);
    });
    const key = JSON.stringify({ ...request(), setpoint_k: 0, hold_s: 0 });
    if (key === found.mapKey) return;
    found.mapKey = key;
    map = null;
    begin('map', '/api/prepare/map', found.map, (answer) => { found.mapAnswer = answer; map = page.drawMap(found.map, answer, setting, found.answer ? found.answer.titles : {}, taken); tellAsked(); });
  }

  function begin(kind, path, target, use) {
    if (work[kind]) work[kind].stop();
    const bar = element('progress', { max: 1, 'aria-label': 'calculating' });
    if (target) page.fill(target, element('p', { class: 'hint' }, 'Working out which set points and holds work …'), bar);
    const mine = page.longWork(path, request(), (share) => { bar.value = share; });
    work[kind] = mine;
    mine.done.then((answer) => { if (answer && work[kind] === mine) use(answer); })
      .catch((error) => { if (work[kind] === mine && target) page.fill(target, page.list(page.problemLines(error.problems || [{ message: error.message }]), 'problems')); });
  }

  function taken(next) {
    remember();
    Object.assign(setting, next);
    movers.forEach((mover) => mover.show());
    moved();
  }

  function search() {
    page.fill(found.searched, element('p', { class: 'hint' }, 'Looking for the shortest cycle …'));
    begin('search', '/api/prepare/search', null, (answer) => {
      found.plan = answer.plan;
      const chosen = answer.plan.chosen;
      if (!answer.plan.feasible || !chosen) {
        page.fill(found.searched, element('p', {}, 'No cycle works. ' + answer.conflict));
      } else {
        page.fill(found.searched, element('p', {}, 'Shortest that works: ' + units.temperature(chosen.setpoint_k) + ', hold ' + units.duration(chosen.hold_s) + '; ' +
          units.duration(chosen.booth_time_s) + ' in the booth.'));
        taken({ setpoint_k: chosen.setpoint_k, hold_s: chosen.hold_s });
      }
      tellAsked();
    });
  }

  // --- the question that was asked on the first view --------------------------------------------------------------------------

  const sure = (sentence) => (found.said ? found.said.assumed.find((one) => sentence.test(one)) : undefined);

  /// Each answers its question from what is computed, or says what it waits for. `open`: a fold that holds the matter; `lift`: a curve.
  const answers = {
    set: { begin: search, tell: () => (found.plan ? (found.plan.feasible ? 'Set ' + units.temperature(found.plan.chosen.setpoint_k) + ', hold ' + units.duration(found.plan.chosen.hold_s) + '.' : found.searched.textContent) : 'Looking for the shortest cycle that works …') },
    ramp: { focus: 'move-ramp', tell: () => { const zones = found.answer.verdict.zones.filter((zone) => zone.word !== 'NOT JUDGED'); const fastest = zones.reduce((most, zone) => (zone.steepest_rate_k_per_s > most.steepest_rate_k_per_s ? zone : most), zones[0]);
      const tooFast = found.answer.verdict.warnings.length; return fastest ? (tooFast ? 'CHECK: ' + found.answer.words.warnings[0] : 'No warning at this ramp: ') + ' Fastest rise ' + (units.differenceFromKelvin(fastest.steepest_rate_k_per_s) * 60).toFixed(1) + ' ' + units.differenceSymbol + '/min, ' + titleOf(fastest.zone) + '.' : ''; } },
    out: { open: 'foldChecks', tell: () => (found.checks.unanswered() ? found.checks.unanswered() + ' things to look for before any heat; answer each below. Items that get too hot say so.' : 'All load checks are answered.') },
    items: { open: 'foldAboard', tell: () => { const items = found.answer.verdict.items.filter((item) => item.word !== 'NOT JUDGED'); return items.length ? items.slice(0, 4).map((item) => titleOf(item.item) + ' ' + units.temperature(item.peak_temperature_k, 1)).join(', ') + '.' : 'Nothing heat-sensitive is in this shell as it is described.'; } },
    caps: { lift: () => (found.answer.course.items[0] || {}).item, tell: () => nearestWords(found.answer) || 'No part of this shell has a limit in its profile.' },
    cold: { focus: 'move-start', begin: compareCold, tell: () => found.cold || 'Comparing with a shell 10 ' + units.differenceSymbol + ' colder …' },
    low: { tell: () => { const rows = found.mapAnswer ? found.mapAnswer.rows.filter((row) => row.answers.includes('feasible')) : null;
      return !rows ? 'Working out which set points work …' : rows.length ? 'Lowest that works: ' + units.temperature(rows[0].setpoint_k) + ', hold ' + units.duration(found.mapAnswer.hold_s[rows[0].answers.indexOf('feasible')]) + '. Below that take the battery out.' : 'No set point works with this sheet and booth.'; } },
    basis: { open: 'foldSure', tell: () => sure(/schedule|sheet does not say/) || (found.said ? 'The sheet does not say; ask its maker, and write it into the coating.' : 'Reading the sheet …') },
    clock: { lift: slowestName, tell: () => { const zone = found.answer.prediction.zones.find((one) => one.name === slowestName()); return zone && zone.arrived_at_s !== null ? 'Start the clock ' + (startMinutes === null ? '' : 'at ') + moment(zone.arrived_at_s) + ', when ' + titleOf(zone.name) + ' is at ' + units.temperature(zone.arrival_temperature_k) + '; not when the burner lights.' : 'The slowest zone never comes near the hold: the clock never starts.'; } },
    last: { lift: slowestName, tell: () => slowestWords(found.answer) },
    probes: { begin: search, tell: () => (found.plan ? (found.plan.probe_places || []).map((place, index) => (index + 1) + ' ' + titleOf(place.zone)).join(', ') + ((found.plan.probe_places || []).length ? '; then the weakest item, booth air high and low.' : 'No place is better than another here.') : 'Working out which places tell most …') },
  };

  function slowestName() {
    const lane = found.answer && found.answer.course.zones.find((zone) => zone.spans.length);
    return lane ? lane.zone : null;
  }

  async function compareCold() {
    found.cold = '';
    const colder = { ...request(), start_temperature_k: setting.start_temperature_k - units.differenceToKelvin(10) };
    try {
      const other = await page.post('/api/prepare', colder);
      const ours = found.answer.course.zones.find((zone) => zone.zone === slowestName());
      const theirs = other.course.zones.find((zone) => ours && zone.zone === ours.zone);
      const at = units.temperature(colder.start_temperature_k);
      found.cold = !theirs || theirs.cured_from_s === null ? 'At ' + at + ' ' + titleOf(slowestName()) + ' is not good in this cycle: hold longer.'
        : ours.cured_from_s === null ? 'Not good in this cycle, warm or cold.' : 'Shell at ' + at + ': ' + Math.max(0, Math.round((theirs.cured_from_s - ours.cured_from_s) / 60)) + ' min longer.';
    } catch (error) {
      found.cold = page.problemLines(error.problems || [{ message: error.message }])[0];
    }
    tellAsked();
  }

  function tellAsked() {
    const made = answers[asked];
    found.question.hidden = !made;
    if (!made || !found.answer) return;
    page.fill(found.question, element('b', {}, page.questionWords(asked) + ' '), element('span', {}, made.tell()));
  }

  function ask(id) {
    asked = answers[id] ? id : '';
    const made = answers[asked];
    tellAsked();
    if (!made) return;
    if (made.open) found[made.open].open = true;
    if (made.begin) made.begin();
    const lifted = made.lift && found.answer ? made.lift() : null;
    if (lifted && lifted !== selected) pick(lifted);
    if (made.focus) document.getElementById(made.focus).focus({ preventScroll: true });
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

  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);

  async function chosen(key, value) {
    remember();
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

  function clockChanged() {
    startMinutes = units.clockMinutes(found.start.value);
    pointToCard();
    if (found.answer) { found.answer = { ...found.answer }; draw(found.answer); if (found.certain) { words(found.certain.words, true); chart.setBands(found.certain.bands.bands); } }
  }

  function choosers() {
    const chooser = (key, label, options) => page.field(label, page.choice(options, setting[key],
      (value) => chosen(key, value).catch((error) => page.showProblems(error.problems || [{ message: error.message }]))));
    page.fill(found.choosers, chooser('shell', 'Shell', page.shop.shells), chooser('coating', 'Coating', page.shop.coatings), chooser('booth', 'Booth', page.shop.booths), found.startField || null);
  }

  function build(view) {
    const part = (name, tag, attributes) => { found[name] = element(tag || 'div', attributes || {}); return found[name]; };
    const fold = (name, head, ...inside) => { found[name] = element('details', { class: 'fold' }, element('summary', {}, head), inside); return found[name]; };
    found.keep = element('button', { type: 'button', onclick: keep }, 'Keep in the book');
    found.search = element('button', { type: 'button', onclick: search }, 'Find the shortest cycle');
    found.title = element('input', { type: 'text', maxlength: '200', placeholder: 'clear, group 1', onchange: pointToCard });
    found.start = element('input', { type: 'datetime-local', onchange: clockChanged });
    found.card = element('a', { class: 'button', href: '/card', target: '_blank', rel: 'noopener' }, 'Bake card to print');
    found.load = element('button', { type: 'button', class: 'main', onclick: () => { found.foldChecks.open = true; found.foldChecks.scrollIntoView({ block: 'start' }); found.foldChecks.querySelector('summary').focus(); } }, 'Check the load');
    found.aboardHead = element('span', {}, 'Still in');
    found.checksHead = element('span', {}, 'What must be out before heat');
    found.answers = element('div', { class: 'answers verdict' }, part('plate', 'div', { class: 'plate' }),
      element('div', { class: 'said' }, part('question', 'p', { class: 'question', hidden: true }), part('open', 'p', { class: 'open', hidden: true }), part('headline', 'p', { class: 'headline' }), part('why', 'p', { class: 'why' }),
        part('warned'), part('block', 'p', { class: 'block', hidden: true })),
      element('div', { class: 'deeds' }, found.load, found.card, part('noCard', 'p', { class: 'hint', hidden: true })));
    const controls = element('form', { class: 'controls', onsubmit: (event) => event.preventDefault(), 'aria-label': 'What is baked, and the cycle' },
      part('choosers', 'div', { class: 'job' }), element('div', { class: 'movers' }, movers.map((mover) => mover.node)), found.search, part('searched', 'div', { role: 'status' }),
      fold('foldAboard', found.aboardHead, part('aboard', 'fieldset', { class: 'aboard' })),
      fold('foldKeep', 'Keep it, title', page.field('Title in the book', found.title), found.keep));
    found.startField = page.field('The bake starts at', found.start);
    const chartCard = element('div', { class: 'card-box picture' }, part('chart'), part('lanes'), part('key'));
    const side = element('div', { class: 'side' }, part('where', 'div', { class: 'card-box', hidden: true }),
      element('div', { class: 'card-box' }, element('h2', {}, 'Other set points and holds'), part('map')));
    const outcome = element('div', { class: 'outcome below' },
      fold('foldChecks', found.checksHead, part('checklist')),
      fold('foldZones', 'Numbers by zone and item', part('zones'), part('items'), part('cycle')),
      fold('foldSure', 'How sure, what is assumed', part('certainty')),
      fold('foldCautions', 'Cautions', element('dl', { class: 'cautions' }, page.shop.cautions.flatMap((caution) =>
        [element('dt', {}, caution.subject), element('dd', {}, caution.text)]))));
    page.fill(view, element('h1', { class: 'unseen' }, 'Prepare a bake'), element('div', { class: 'prepare' }, found.answers, controls, chartCard, side, outcome));
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
    show(rest) {
      if (chart) chart.resize();
      ask(rest.startsWith('ask/') ? rest.slice(4) : '');
    },
  };
})(window.bakewright);
