// SPDX-License-Identifier: Apache-2.0
'use strict';
// The bake that goes on, to be read across a room: minutes to heat off, the zone that is last, what is about to go wrong. The
// program tells a new state each minute and newer readings as they come.
(function (page) {
  const { element, units } = page;
  const found = {};
  const views = new Map();     // of a bake by its number
  const readings = new Map();
  let recordings = [];
  let chosen = null;
  let source = null;
  let selected = null;
  let chart = null;
  let shell = null;
  let rung = new Set();
  let isDarkChosen = null;  // by the button; null: by the hour
  let isDark = null;        // as the page stands; null: as the browser has it
  let bell = null;  // sounds where it was asked for: a browser lets a page sound after a tap alone

  /// What is said of it to people, in their units.
  const wordsOf = (view) => view.words[units.name];
  const urgent = ['limit_near', 'heating_too_fast'];
  const titleOf = (view, name) => (view.titles || {})[name] || name;
  const startOf = (view) => units.clockMinutes(view.started_at);
  const clock = (view, s) => units.moment(s, startOf(view));
  const bakeNow = () => (recordings.some((one) => one.bake === chosen) ? chosen : (recordings[0] || { bake: null }).bake);
  /// The newest moment of the recording, also between two states.
  const nowOf = (view) => Math.max(view.live.now_s, (readings.get(view.bake) || { newest_s: 0 }).newest_s);
  const minutesTo = (view, s) => Math.max(0, Math.ceil((s - nowOf(view)) / 60 - 0.05));
  const counted = (minutes) => (minutes > 99 ? Math.floor(minutes / 60) + ':' + String(minutes % 60).padStart(2, '0') : String(minutes));

  /// The one number: [what leads, number, unit, below].
  function headline(view) {
    const live = view.live;
    const reading = readings.get(view.bake);
    if (reading && reading.silent) return ['No reading since', '--', '', clock(view, nowOf(view))];
    const first = live.warnings.findIndex((warning) => urgent.includes(warning.kind));
    if (first >= 0) return ['Act now', '!', '', wordsOf(view).warnings[first].says];
    if (!live.known) return ['Not known yet', '--', '', wordsOf(view).why_not];
    if (!live.heat_off) return ['No heat off in sight', '--', '', wordsOf(view).why_no_heat_off];
    const minutes = minutesTo(view, live.heat_off.off_s);
    if (minutes === 0) return ['Heat can go off', 'now', '', 'since ' + clock(view, live.heat_off.off_s)];
    return ['Heat off in', counted(minutes), minutes > 99 ? 'h' : 'min', clock(view, live.heat_off.off_s)];
  }

  function drawNumber(view) {
    const [lead, number, unit, below] = headline(view);
    const isUrgent = number === '!';
    found.lead.textContent = lead;
    page.fill(found.number, number, unit ? element('span', {}, ' ' + unit) : null);
    found.number.hidden = isUrgent;
    found.clock.textContent = below.charAt(0).toUpperCase() + below.slice(1);
    found.clock.classList.toggle('words', number === '--' || isUrgent);
    found.said.classList.toggle('urgent', isUrgent);
    const said = lead + (isUrgent ? ': ' : ' ' + number + ' ' + unit + ', ') + below;
    if (found.announced !== said) page.say(found.announced = said);
  }

  const phaseWords = { flash_off: 'Flash-off', purge: 'Purge', ramp: 'Ramp', hold: 'Hold', cool: 'Cooling' };

  function drawLast(view) {
    const live = view.live;
    const last = live.heat_off && live.heat_off.last_zone;
    // Read from 2 m: what comes behind a comma is for whoever stands nearer.
    const [head, ...tail] = last ? titleOf(view, last).split(', ') : [view.title];
    found.last.textContent = (last ? 'Last: ' : '') + head;
    const phase = live.phase ? phaseWords[live.phase] + ', minute ' + Math.max(1, Math.ceil((nowOf(view) - live.phase_since_s) / 60)) + '. ' : '';
    const more = tail.length ? ' Last: ' + head + ', ' + tail.join(', ') + '.' : '';
    found.phase.textContent = phase + (live.known ? 'Minutes to go in each zone.' + more : wordsOf(view).to_do);
    // What nobody knows is in no chance: the number then stands beside what it leaves out.
    const isDoubtful = live.known && live.heat_off && live.heat_off.word !== 'GOOD';
    page.fill(found.doubts, isDoubtful ? [page.badge(live.heat_off.word), ' '] : null, live.known ? wordsOf(view).remarks.join('. ') : null);
    found.doubts.hidden = !found.doubts.textContent;
  }

  const hasMinutes = (view, place) => !place.is_good && (place.good.median_s === null || minutesTo(view, place.good.median_s) > 0);

  /// What stands on each part: its minutes and how much of the sheet's window it has; after that its word.
  function marks(view) {
    const made = {};
    for (const place of view.live.places) {
      if (!place.coated || !hasMinutes(view, place)) continue;
      const at = place.good.median_s;
      made[place.name] = { text: at === null ? '–' : counted(minutesTo(view, at)), share: place.credit ? place.credit.median : 0 };
    }
    return made;
  }

  /// Likely good and not sure yet is CHECK.
  const words = (view) => Object.fromEntries(view.live.places.filter((place) => place.coated).map((place) => [place.name, place.is_good ? 'GOOD' : 'CHECK']));

  /// A sample a minute: the chart is small, and noise makes a thin line a thick one.
  function thinned(trace) {
    const kept = { ...trace, time_s: [], temperature_k: [] };
    let next = -Infinity;
    trace.time_s.forEach((time, at) => {
      if (time < next) return;
      kept.time_s.push(time);
      kept.temperature_k.push(trace.temperature_k[at]);
      next = time + 60;
    });
    return kept;
  }

  function drawDrawing(view) {
    if (!view.drawing || !view.live.known) { shell = null; page.fill(found.drawing); return; }
    if (shell && shell.of === view.bake) { shell.picture.setMarks(marks(view), words(view)); return; }
    const { drawing } = page.withoutTwins(view.drawing);
    shell = { of: view.bake, picture: page.drawShell(found.drawing, drawing, { side_by_side: true, marks: marks(view), verdicts: words(view), selected, onPick: pick }) };
  }

  function drawWarning(view) {
    const first = view.live.warnings[0];
    const said = wordsOf(view).warnings;
    found.warning.classList.toggle('urgent', Boolean(first) && urgent.includes(first.kind));
    if (first) {
      page.fill(found.warning, element('h2', {}, said[0].says), element('p', {}, said[0].to_do),
        said.length > 1 ? element('p', {}, '+ ' + (said.length - 1) + ' more: ' + said.slice(1).map((one) => one.says).join('. ')) : null);
    } else {
      const item = view.live.places.find((place) => !place.coated && place.limit);
      const reading = readings.get(view.bake);
      page.fill(found.warning, element('h2', {}, 'No warning'), element('p', {}, (item ? 'Nearest to a limit: ' + titleOf(view, item.name) + ', ' + units.temperature(item.now_k.median) + ' of ' + units.temperature(item.limit.temperature_k) + '. ' : '') +
        (reading ? reading.channels.length + ' channels read.' : '')));
    }
    ring(view);
  }

  function ring(view) {
    const fresh = view.live.warnings.filter((warning) => !rung.has(warning.kind + warning.subject + warning.since_s));
    fresh.forEach((warning) => rung.add(warning.kind + warning.subject + warning.since_s));
    if (!bell || fresh.length === 0) return;
    const tone = bell.createOscillator();
    tone.frequency.value = urgent.includes(fresh[0].kind) ? 988 : 659;
    tone.connect(bell.destination);
    tone.start();
    tone.stop(bell.currentTime + 0.8);
  }

  function drawList(view) {
    const live = view.live;
    const rows = [];
    const off = live.off_now;
    if (live.heat_off && live.heat_off.all_good_s !== null) rows.push(['all good', clock(view, live.heat_off.all_good_s)]);
    const next = live.places.filter((place) => place.coated && !place.is_good && place.good.median_s !== null && place.good.median_s > nowOf(view)).sort((a, b) => a.good.median_s - b.good.median_s)[0];
    if (next) rows.push(['next: ' + (next.known_from === 'estimated' ? '\u25cb ' : '\u25cf ') + titleOf(view, next.name), clock(view, next.good.median_s)]);
    if (off) rows.push(['heat off now', off.word === 'GOOD' ? 'GOOD, ' + Math.floor(100 * off.chance) + ' % sure' : off.word]);
    const near = live.places.filter((place) => place.limit && place.limit.earliest_s !== null).sort((a, b) => a.limit.earliest_s - b.limit.earliest_s)[0];
    rows.push(['limits', near ? titleOf(view, near.name) + ' from ' + clock(view, near.limit.earliest_s) : 'not near']);
    page.fill(found.list, element('dl', {}, rows.flatMap(([name, value]) => [element('dt', {}, name), element('dd', {}, value)])),
      live.places.some((place) => place.known_from === 'estimated') ? element('p', { class: 'hint' }, '\u25cf has a probe, \u25cb estimated from the others.') : null);
  }

  /// What was measured with dots, what is calculated plain; to the right of now nothing is measured.
  function drawChart(view) {
    const curves = view.live.curves || [];
    const strong = new Map();
    const air = view.measured.find((trace) => trace.role === 'booth_air');
    if (air) strong.set(air.name, ['air']);
    const add = (place, role) => { if (place) strong.set(place.name, [...(strong.get(place.name) || []), role]); };
    const coated = view.live.places.filter((place) => place.coated);
    add(coated.find((place) => view.live.heat_off && place.name === view.live.heat_off.last_zone) || coated[0], 'slowest');
    add([...coated].sort((a, b) => b.now_k.median - a.now_k.median)[0], 'hottest');
    const series = view.measured.filter((trace) => ['booth_air', 'zone', 'item', 'test_panel'].includes(trace.role)).map((trace) => ({ trace: thinned(trace), kind: 'logged' }));
    for (const curve of curves) {
      const has = series.some((one) => one.trace.name === curve.name);
      const from = has ? curve.time_s.findIndex((time) => time >= view.live.estimated_s) : 0;
      if (from < 0) continue;
      const trace = { name: curve.name, role: curve.role, time_s: curve.time_s.slice(from), temperature_k: curve.median_k.slice(from) };
      const logged = series.find((one) => one.trace.name === curve.name);
      if (logged) logged.trace = { ...logged.trace, time_s: [...logged.trace.time_s, ...trace.time_s.filter((time) => time > view.live.estimated_s)], temperature_k: [...logged.trace.temperature_k, ...trace.temperature_k.filter((_, at) => trace.time_s[at] > view.live.estimated_s)] };
      else series.push({ trace, kind: 'estimated' });
    }
    const off = view.live.heat_off ? [{ kind: 'hold', begin_s: Math.min(view.live.estimated_s, view.live.heat_off.off_s), end_s: view.live.heat_off.off_s, begin_setpoint_k: view.live.setpoint_k, end_setpoint_k: view.live.setpoint_k }] : [];
    chart.titles = view.titles;
    chart.now = view.live.estimated_s;
    chart.setBands(curves.map((curve) => ({ name: curve.name, time_s: curve.time_s, low_k: curve.low_k, high_k: curve.high_k })));
    chart.draw(series, view.lines, startOf(view), selected, { strong, stages: off });
  }

  function pick(name) {
    selected = selected === name ? null : name;
    if (shell) shell.picture.setSelected(selected);
    const view = views.get(bakeNow());
    if (view) drawChart(view);
  }

  /// Without a state of it, the readings alone; without a recording, how one begins.
  function drawNothing() {
    page.fill(found.none, recordings.length === 0
      ? [element('h1', {}, 'Nothing is being recorded'), element('p', {}, 'Start the recorder at the booth, with the vehicle, the booth, the coating and the bake that was planned:'),
        element('pre', {}, 'bakewright record --shell NAME --booth NAME --coating NAME --of BAKE --lines FILE'),
        element('p', {}, 'This view then tells the minutes to heat off, the zone that is last, and what is about to pass a limit. A finished log is under ', element('a', { href: '#bakes' }, 'Bakes'), '.')]
      : [element('h1', {}, 'Waiting for the first readings')]);
  }

  function draw() {
    const view = views.get(bakeNow());
    const isShown = Boolean(view) && !document.getElementById('view-live').hidden;
    found.all.hidden = !view;
    found.none.hidden = Boolean(view);
    document.body.classList.toggle('watching', isShown && !found.isBarWanted);
    drawTone();
    if (!view) { drawNothing(); return; }
    drawNumber(view);
    drawLast(view);
    drawDrawing(view);
    drawWarning(view);
    drawList(view);
    drawChart(view);
    found.title.textContent = clock(view, nowOf(view)) + '  ' + view.title;
    found.advice.textContent = view.live.advice;
    page.fill(found.which, recordings.length < 2 ? null : recordings.map((one) => element('button', { type: 'button', 'aria-pressed': String(one.bake === view.bake), onclick: () => { chosen = one.bake; draw(); } }, one.booth)));
  }

  /// Between two estimates the state moves with each reading; what its curves come to is told with the estimate.
  function moveTo(reading) {
    const view = views.get(reading.bake);
    if (view && reading.live && reading.live.update === view.live.update) view.live = { ...reading.live, curves: view.live.curves };
  }

  /// Between two states: the number counts down, what is silent says so.
  function drawReading() {
    const view = views.get(bakeNow());
    if (!view) { draw(); return; }
    drawNumber(view);
    drawLast(view);
    if (shell) shell.picture.setMarks(marks(view), words(view));
    drawList(view);
    drawTone();
    found.title.textContent = clock(view, nowOf(view)) + '  ' + view.title;
  }

  function listen() {
    if (source) return;
    source = new EventSource('/api/live');
    const on = (kind, act) => source.addEventListener(kind, (event) => { page.showProblems([]); act(JSON.parse(event.data)); });
    on('recordings', (said) => { recordings = said.recordings; draw(); });
    on('view', (said) => { views.set(said.bake, said); draw(); });
    on('reading', (said) => { readings.set(said.bake, said); moveTo(said); drawReading(); });
    on('trouble', (said) => page.showProblems(said.problems));
    source.onerror = () => {
      if (!source) return;
      page.showProblems([{ message: 'the program does not answer; is `bakewright serve` still running? What stands here is not new.' }]);
      if (source.readyState === EventSource.CLOSED) { source = null; setTimeout(() => { if (!document.getElementById('view-live').hidden) listen(); }, 3000); }
    };
  }

  const darkHours = (hour) => hour >= 18 || hour < 6;
  const darkMedia = '(prefers-color-scheme: dark)';
  let darkRules = null;  // of all style sheets

  /// The tones of the dark scheme, whatever the browser asks for. @param is  null: as the browser has it
  function darken(is) {
    if (is === isDark) return;
    isDark = is;
    darkRules = darkRules || [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]).filter((rule) => rule.media && rule.media.mediaText === darkMedia);
    for (const rule of darkRules) rule.media.mediaText = is === null ? darkMedia : is ? 'all' : 'not all';
    document.documentElement.style.colorScheme = is === null ? '' : is ? 'dark' : 'light';
    chart.retone();
  }

  /// From the evening on a lit wall of white is in the way: dark from 18:00 to 6:00, or as it was chosen.
  function drawTone() {
    const is = isDarkChosen === null ? darkHours(new Date().getHours()) || matchMedia(darkMedia).matches : isDarkChosen;
    found.dark.setAttribute('aria-pressed', String(is));
    darken(document.body.classList.contains('watching') ? is : null);
  }

  function wantBar(is) {
    found.isBarWanted = is;
    draw();
  }

  function ringOrNot() {
    if (bell) { bell.close(); bell = null; } else { bell = new AudioContext(); }
    found.bell.setAttribute('aria-pressed', String(Boolean(bell)));
  }

  page.liveView = {
    begin(root) {
      const part = (key, tag, attributes = {}) => (found[key] = element(tag, attributes));
      found.bell = element('button', { type: 'button', 'aria-pressed': 'false', onclick: ringOrNot }, 'Bell for warnings');
      found.dark = element('button', { type: 'button', 'aria-pressed': 'false', onclick: () => { isDarkChosen = found.dark.getAttribute('aria-pressed') !== 'true'; drawTone(); } }, 'Dark');
      found.all = element('div', { class: 'live', hidden: true },
        part('said', 'div', { class: 'live-said' }),
        element('div', { class: 'live-parts' }, part('last', 'h1'), part('phase', 'p'), part('doubts', 'p', { hidden: true }), part('drawing', 'div', { class: 'live-drawing' })),
        part('chart', 'div', { class: 'live-chart' }),
        element('div', { class: 'live-side' }, part('warning', 'div', { class: 'live-warning', role: 'alert' }), part('list', 'div', { class: 'live-list' })),
        element('div', { class: 'live-foot' }, part('title', 'b'), part('which', 'span'), part('advice', 'span', { class: 'hint' }),
          element('button', { type: 'button', onclick: () => wantBar(!found.isBarWanted) }, 'Other views'), found.dark, found.bell));
      found.said.append(part('lead', 'p', { class: 'live-lead' }), part('number', 'p', { class: 'live-number' }), part('clock', 'p', { class: 'live-clock' }));
      part('none', 'div', { class: 'card-box' });
      page.fill(root, found.all, found.none);
      chart = new page.TemperatureChart(found.chart, pick);
      units.onChange(draw);
      addEventListener('keydown', (event) => {
        if (event.key !== 'Escape' || document.getElementById('view-live').hidden) return;
        if (selected) pick(selected); else wantBar(!found.isBarWanted);
      });
      draw();
    },
    show(rest) {
      if (/^\d+$/.test(rest)) chosen = Number(rest);
      found.isBarWanted = false;
      listen();
      draw();
      chart.resize();
    },
    /// Nobody looks: nothing is told, and the program works no more for it.
    leave() {
      if (source) source.close();
      source = null;
      document.body.classList.remove('watching');
      darken(null);
    },
  };
})(window.bakewright);
