// SPDX-License-Identifier: Apache-2.0
'use strict';
// The bakes of the book: one is looked at, its log over its prediction.
(function (page) {
  const { element, units } = page;
  const found = {};
  let answer = null;
  let chart = null;
  let selected = null;
  let door = null;  // the card of the bake that is looked at, with what was answered for it
  let wanted = '';
  let asked = '';  // the question of the first view that is answered on top
  let work = null;
  let estimating = false;  // how sure it is, and what is said of zones without a probe, follows

  let all = [];
  let words = '';
  let kind = '';
  let word = '';  // of the bakes that are shown; empty: any
  const judged = new Map();  // of a bake by its number, as far as it was asked for
  let judging = null;

  const matches = (bake) => (kind === '' || bake.kind === kind) && (word === '' || judged.get(bake.bake) === word) &&
    words.toLowerCase().split(/\s+/).every((part) => [bake.bake, bake.uid, bake.title, bake.kind, bake.log, bake.shell, bake.coating, bake.started_at, bake.created_at].join(' ').toLowerCase().includes(part));

  function drawList() {
    const shown = all.filter(matches);
    page.fill(found.names, shown.length === 0 ? element('p', { class: 'hint' }, 'No bake of the book matches.') : element('ul', { class: 'names' }, shown.slice(0, 40).map((bake) => element('li', {}, element('a', { href: '#bakes/' + bake.bake,
      'aria-current': String(bake.bake) === wanted ? 'true' : null }, (judged.get(bake.bake) || 'none') !== 'none' ? [page.badge(judged.get(bake.bake)), ' '] : null, element('b', {}, bake.title || 'bake ' + bake.bake),
    element('span', { class: 'hint' }, [bake.bake + ' (' + bake.uid.slice(0, 8) + '), ' + bake.kind, bake.started_at ? bake.started_at.replace('T', ' ').slice(0, 16) : '', bake.shell, bake.coating].filter((part) => part).join(' · ')))))),
    shown.length > 40 ? element('p', { class: 'hint' }, '+ ' + (shown.length - 40) + ' older: search for them.') : null);
    found.count.textContent = shown.length + ' of ' + all.length + ' bakes';
  }

  /// The words are worked out once somebody filters by them: each is a verdict on a whole bake.
  function filter(chosen) {
    word = chosen;
    const open = all.filter((bake) => !judged.has(bake.bake)).map((bake) => bake.bake);
    if (judging) judging.stop();
    judging = null;
    drawList();
    if (word === '' || open.length === 0) { page.fill(found.judging); return; }
    const bar = element('progress', { max: 1, 'aria-label': 'judging' });
    page.fill(found.judging, element('p', { class: 'hint' }, 'Judging ' + open.length + ' bakes \u2026'), bar);
    const mine = page.longWork('/api/bakes/words', { bakes: open }, (share) => { bar.value = share; });
    judging = mine;
    mine.done.then((answer) => {
      if (!answer || judging !== mine) return;
      answer.words.forEach((one) => judged.set(one.bake, one.worst || 'none'));
      page.fill(found.judging);
      drawList();
    }).catch((error) => { if (judging === mine) { page.fill(found.judging); page.showProblems(error.problems || [{ message: error.message }]); } });
  }

  async function list() {
    judged.clear();
    all = (await page.get('/api/bakes')).bakes;
    if (all.length === 0) {
      page.fill(found.names, element('p', {}, 'The book holds no bake yet. ', element('a', { href: '#prepare' }, 'Prepare one'), ' or ', element('a', { href: '#log' }, 'bring in a log'), '.'));
      return all;
    }
    filter(word);
    return all;
  }

  function series() {
    const made = [];
    const marked = strong();
    for (const kind of ['logged', 'estimated', 'predicted']) {
      const half = answer.report[kind];
      if (!half) continue;
      for (const trace of half.traces) {
        if (trace.role === 'cavity_air' || trace.role === 'booth_wall') continue;
        // Behind a log the prediction is drawn of the strong curves alone.
        if (kind === 'predicted' && answer.report.logged && trace.name !== selected && !marked.has(trace.name)) continue;
        made.push({ trace, kind });
      }
    }
    return made;
  }

  function verdict(said) {
    return [element('h2', {}, said.label === 'logged' ? 'What the log says' : 'What was predicted'),
      page.list([...said.questions, ...said.warnings], 'warnings'), page.table(said.zones, 'Zones, worst first', pick), page.table(said.items, 'Heat-sensitive items, worst first', pick), said.certainty.length ? [element('h3', {}, 'How sure'), page.list(said.certainty)] : null];
  }

  function facts() {
    const report = answer.report;
    const rows = [['Shell', report.shell_title], ['Coating', report.coating_title], ['Booth', report.booth_title], ['Cycle', report.cycle_title],
      ['Started', report.started_at.replace('T', ' ')], ['Remark', report.remark]].filter(([, value]) => value);
    return element('dl', { class: 'facts' }, rows.flatMap(([name, value]) => [element('dt', {}, name), element('dd', {}, value)]));
  }

  /// It follows with how sure the verdicts are: what the model may be off is of the same work.
  function agreement(said) {
    return said ? [page.table(said.channels, said.caption, pick), page.list(said.said)] : null;
  }

  /// The card of a prediction, with a start of its own where one is given. What must be out of the shell is looked for before each
  /// bake, so that the book keeps no answers: they are given here, and again for another bake.
  function doorCard(bake, startedAt) {
    const link = element('a', { class: 'button', target: '_blank', rel: 'noopener' }, 'Bake card to print');
    const start = element('input', { type: 'datetime-local', value: startedAt.slice(0, 16) });
    const block = element('p', { class: 'block' });
    const summary = element('summary');
    const checks = element('div');
    let list = null;
    const point = () => {
      block.textContent = list.refusal();
      block.hidden = list.refusal() === '';
      link.hidden = !block.hidden;
      link.href = page.cardAddress(bake, { start: start.value || undefined, units: units.name, ...list.answers() });
      summary.textContent = 'What must be out before heat: ' + (list.unanswered() === 0 ? 'all answered' : list.unanswered() + ' NOT CHECKED');
    };
    start.addEventListener('change', point);
    page.drawChecklist(checks, 'bakes', (given) => { list = given; point(); });
    const node = element('div', {}, element('div', { class: 'row' }, page.field('The bake starts at', start), link), block, element('details', {}, summary, checks));
    return { bake, point, node };
  }

  /// Drawn once a bake: what was answered stays when the bake is drawn anew.
  function card() {
    const words = answer.report.verdicts.map((verdict) => verdict.worst);
    const hasCard = answer.kind === 'predicted' && !answer.report.logged && answer.report.coating_title && !words.includes('UNDER') && !words.includes('OVER');
    if (!hasCard) {
      door = null;
      page.fill(found.card);
      return;
    }
    if (!door || door.bake !== answer.bake) {
      door = doorCard(answer.bake, answer.report.started_at);
      page.fill(found.card, door.node);
    }
    door.point();
  }

  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);
  const kinds = [['temperature', 'Temperature by hand'], ['cure_test', 'Test of the film'], ['film_build', 'Dry film']];

  /// What is asked for each kind: label, control, and what it puts into the request.
  function handFields(kind) {
    const number = (label, hint, put) => { const input = element('input', { type: 'number', step: 'any', required: true }); return { node: page.field(label, input, hint), put: (note) => put(note, Number(input.value)) }; };
    if (kind === 'temperature')
      return [number('Read, ' + units.symbol, null, (note, value) => { note.temperature_k = units.toKelvin(value); }), number('Minute of the bake', null, (note, value) => { note.at_s = value * 60; })];
    if (kind === 'film_build')
      return [number(units.name === 'us' ? 'Dry film, mil' : 'Dry film, µm', null, (note, value) => { note.film_build_m = value * (units.name === 'us' ? 25.4e-6 : 1e-6); })];
    const verdict = page.choice([{ name: 'hard', title: 'hard' }, { name: 'soft', title: 'soft' }], 'hard', () => {});
    return [{ node: page.field('Found', verdict), put: (note) => { note.found = verdict.value; } }, number('Hours after the bake', null, (note, value) => { note.after_bake_s = value * 3600; })];
  }

  function handForm() {
    const zone = page.choice(answer.zones.map((name) => ({ name, title: answer.report.titles[name] || name })), answer.zones[0], () => {});
    const by = element('input', { type: 'text', maxlength: '200' });
    const asked = element('div', { class: 'row' });
    let fields = [];
    let how = null;
    const kind = page.choice(kinds.map(([name, title]) => ({ name, title })), 'temperature', () => put());
    const put = () => {
      fields = handFields(kind.value);
      how = page.choice(answer.methods[kind.value].map((name) => ({ name, title: name })), '', () => {});
      page.fill(asked, fields.map((field) => field.node), page.field('How', how));
    };
    put();
    const send = async (event) => {
      event.preventDefault();
      const note = { kind: kind.value, zone: zone.value, how: how.value, by: by.value };
      fields.forEach((field) => field.put(note));
      try {
        await page.post('/api/bakes/' + answer.bake + '/hand', note);
        page.say('Noted');
        await open(wanted);
      } catch (error) {
        failed(error);
      }
    };
    return element('details', {}, element('summary', {}, 'Note something by hand'), element('form', { class: 'controls', 'aria-label': 'Noted by hand', onsubmit: send },
      element('div', { class: 'row' }, page.field('What', kind), page.field('Zone', zone)), asked, page.field('By', by), element('button', { type: 'submit' }, 'Keep the note')));
  }

  /// Notes with a way to take each out: its number stands in the last column.
  function noted(table) {
    const remove = (event) => {
      const number = event.target.dataset.note;
      page.remove('/api/hand/' + number).then(() => open(wanted)).catch(failed);
    };
    const shown = page.table(table, 'Held against log, sheet and verdict', pick);
    return shown ? [element('h2', {}, 'Noted by hand'), shown, element('p', { class: 'row' }, table.rows.map((row) => {
      const number = row.cells[row.cells.length - 1].text;
      return element('button', { type: 'button', 'data-note': number, onclick: remove }, 'Take out note ' + number);
    }))] : null;
  }

  /// Counts of the first verdict in the headline: "7 zones good, 3 not judged".
  function headline(verdicts) {
    const first = answer.report.verdicts[0];
    if (!first) { page.fill(found.answers, element('p', {}, 'It was kept without a coating, so there is no verdict.')); return; }
    const count = (word) => first.zones.filter((zone) => zone.word === word).length;
    const counts = [['OVER', 'over'], ['UNDER', 'under'], ['CHECK', 'to check'], ['GOOD', 'good'], ['NOT JUDGED', 'not judged']].filter(([word]) => count(word) > 0)
      .map(([word, said]) => count(word) + ' ' + said).join(', ');
    const open = first.zones.filter((zone) => zone.word === 'NOT JUDGED').map((zone) => answer.report.titles[zone.zone] || zone.zone);
    page.fill(found.answers, element('div', { class: 'verdict' }, element('div', { class: 'plate' }, page.badge(first.worst)), element('div', { class: 'said' },
      asked ? element('p', { class: 'question' }, element('b', {}, page.questionWords(asked) + ' '), element('span', {}, tellAsked())) : null,
      element('p', { class: 'headline' }, first.zones.length + ' zones: ' + counts + '.'),
      element('p', {}, verdicts[0] ? verdicts[0].worst : ''),
      open.length && estimating ? element('p', { class: 'hint' }, 'Estimating the zones without a probe \u2026') : null,
      open.length && !estimating ? element('p', { class: 'hint' }, 'No probe on ' + open.join(', ') + ': look at the film, and probe there next time.') : null,
      verdicts[1] ? element('p', { class: 'hint' }, 'Predicted: ' + verdicts[1].worst) : null)));
  }

  const sentence = (pattern) => { const said = answer.words.verdicts[0]; return said ? said.assumed.find((one) => pattern.test(one)) : undefined; };

  /// The question of the first view, from what this bake says.
  function tellAsked() {
    switch (asked) {
      case 'done': return estimating ? 'Estimating the zones without a probe \u2026' : answer.report.verdicts[0].worst === 'GOOD' ? 'Yes: every judged zone and item is GOOD.' : 'Not proved: see below.';
      case 'sand': case 'tape': return sentence(/sandable/) || 'The sheet\u2019s times are not in the coating\u2019s profile: see the sheet.';
      case 'panel': return sentence(/test panel/) || 'No test panel is in this bake: it proves nothing about the shell either way.';
      case 'probe': return answer.words.agreement ? answer.words.agreement.said[0] : answer.report.logged && answer.report.predicted ? 'Comparing the probes with the prediction \u2026' : 'Without a prediction of this bake there is nothing to hold the probes against.';
      default: return '';
    }
  }

  function strong() {
    const half = answer.report.logged || answer.report.predicted;
    return half ? page.strongCurves(half.traces, answer.report.course, answer.report.verdicts[0]) : new Map();
  }

  function draw() {
    const words = answer.words;
    const report = answer.report;
    page.fill(found.head, element('h2', {}, report.title || 'bake ' + answer.bake), facts(), element('p', { class: 'row' },
      element('a', { class: 'button', href: '/report/' + answer.bake + '?units=' + units.name, target: '_blank', rel: 'noopener' }, 'Report to print'),
      answer.kind === 'predicted' ? element('a', { class: 'button', href: '#log' }, 'Bring in its log') : null,
      report.logged && (report.verdicts[0] || {}).worst === 'UNDER' ? element('a', { class: 'button', href: '#prepare/finish/' + answer.bake }, 'Finish this bake') : null));
    card();
    headline(words.verdicts);
    chart.hasLanes = Boolean(report.course);
    chart.titles = report.titles;
    chart.setBands(report.bands);
    chart.draw(series(), answer.lines, units.clockMinutes(report.started_at), selected, { strong: strong(), stages: report.logged ? [] : report.stages });
    page.fill(found.verdicts, words.verdicts.map(verdict));
    page.fill(found.comparison, words.comparison ? [element('h2', {}, 'Predicted against logged'), page.table(words.comparison, 'Predicted minus logged; a lag above 0: the log runs behind', pick),
      page.list(words.unmatched || []), agreement(words.agreement)] : null);
    page.fill(found.noted, noted(words.noted), answer.zones.length ? handForm() : null);
    page.fill(found.cycle, page.table(words.cycle, 'The cycle'));
    page.fill(found.sources, report.assumptions.length ? element('details', {}, element('summary', {}, 'Assumed, and where from'),
      element('dl', { class: 'facts' }, report.assumptions.flatMap((one) => [element('dt', {}, one.subject + ', ' + one.value), element('dd', {}, one.source)]))) : null,
    element('details', {}, element('summary', {}, 'Made from'), element('dl', { class: 'facts' }, report.provenance.flatMap((one) => [element('dt', {}, one.subject), element('dd', {}, one.value)]))));
    pictures();
  }

  function pictures() {
    if (page.drawPictures) page.drawPictures(found, answer, { selected, onPick: pick, startClock: units.clockMinutes(answer.report.started_at) });
  }

  function pick(given) {
    if (!answer) return;
    const name = given === null ? null : page.nameOf(given, answer.report.titles);
    selected = selected === name ? null : name;
    chart.pick(selected);
    pictures();
  }

  /// Another bake's answer never stands beside an error.
  function blank() {
    answer = null;
    chart.clear();
    page.clearPictures(found);
    found.bake.hidden = true;
  }

  async function open(number) {
    found.bake.classList.add('pending');
    let opened;
    try {
      opened = await page.get('/api/bakes/' + encodeURIComponent(number) + '?units=' + units.name);
    } catch (error) {
      if (number === wanted) blank();
      throw error;
    } finally {
      found.bake.classList.remove('pending');
    }
    if (number !== wanted) return;  // another was asked for meanwhile
    answer = opened;
    estimating = Boolean(answer.report.logged);
    found.bake.hidden = false;
    draw();
    howSure(number);
    found.pair.hidden = true;
    page.say((answer.words.verdicts[0] || { worst: 'no verdict' }).worst);
  }

  /// How sure the verdicts are, and the bands of the prediction, follow.
  function howSure(number) {
    if (work) work.stop();
    const mine = page.longWork('/api/bakes/' + encodeURIComponent(number) + '/certainty', { units: units.name });
    work = mine;
    mine.done.then((certain) => {
      if (!certain || work !== mine || number !== wanted) return;
      answer = certain;
      estimating = false;
      draw();
    }).catch((error) => { if (work !== mine) return; estimating = false; if (answer) draw(); page.showProblems(error.problems || [{ message: error.message }]); });
  }

  // --- two bakes over each other ----------------------------------------------------------------------------------------------

  const minutesOf = (zone) => (zone.word === 'NOT JUDGED' ? null : zone.equivalent_time_s.at_value / 60);

  /// The door beside the body, or one bake beside another: the same zones against each other; where they share none, each bake's worst.
  async function openPair(first, second) {
    const both = await Promise.all([first, second].map((number) => page.get('/api/bakes/' + encodeURIComponent(number) + '?units=' + units.name)));
    if (wanted !== first + '+' + second) return;
    const sides = both.map((one) => ({ label: one.report.title || 'bake ' + one.bake, titles: one.report.titles, verdict: one.report.verdicts[0], half: one.report.logged || one.report.predicted, view: one }));
    blank();
    found.pair.hidden = false;
    const zones = sides.map((side) => new Map((side.verdict ? side.verdict.zones : []).map((zone) => [zone.zone, zone])));
    const shared = [...zones[0].keys()].filter((name) => zones[1].has(name));
    const names = shared.length ? shared : [...new Set([...zones[0].keys(), ...zones[1].keys()])];
    const shown = (zone) => (zone ? zone.word + (minutesOf(zone) === null ? '' : ', ' + Math.round(minutesOf(zone)) + ' min') : 'not in it');
    const worst = sides.map((side, index) => [...zones[index].values()].filter((zone) => minutesOf(zone) !== null).sort((a, b) => minutesOf(a) - minutesOf(b))[0]);
    const difference = worst[0] && worst[1] ? Math.round(minutesOf(worst[0]) - minutesOf(worst[1])) : null;
    page.fill(found.pair, element('div', { class: 'answers' }, element('p', { class: 'question' }, element('b', {}, page.questionWords('same'))),
      element('p', { class: 'headline' }, difference === null ? 'One of the two has no verdict to compare.' : 'Worst zones: ' + Math.abs(difference) + ' equivalent min ' + (difference >= 0 ? 'more' : 'less') + ' in \u201c' + sides[0].label + '\u201d.'),
      element('p', {}, sides.map((side, index) => side.label + ': ' + (worst[index] ? (side.titles[worst[index].zone] || worst[index].zone) + ', ' + shown(worst[index]) : 'no verdict')).join('. ') + '.')),
      element('div', { class: 'card-box' }, found.pairChart = element('div')),
      page.grid('Zone by zone', ['Zone', sides[0].label, sides[1].label, '#Difference, min'], names.map((name) => {
        const one = zones[0].get(name);
        const two = zones[1].get(name);
        const both_ = one && two && minutesOf(one) !== null && minutesOf(two) !== null;
        return element('tr', {}, element('th', { scope: 'row' }, sides[0].titles[name] || sides[1].titles[name] || name), element('td', {}, shown(one)), element('td', {}, shown(two)), element('td', { class: 'number' }, both_ ? Math.round(minutesOf(one) - minutesOf(two)) : 'n/a'));
      })));
    const over = new page.TemperatureChart(found.pairChart, () => {});
    const series = sides.flatMap((side, index) => (side.half ? side.half.traces.filter((trace) => ['zone', 'booth_air', 'test_panel'].includes(trace.role)).map((trace) => ({ trace: { ...trace, name: (index + 1) + ' ' + (side.titles[trace.name] || trace.name) }, kind: 'predicted' })) : []));
    const marked = new Map();
    sides.forEach((side, index) => { if (worst[index]) marked.set((index + 1) + ' ' + (side.titles[worst[index].zone] || worst[index].zone), [index === 0 ? 'slowest' : 'hottest']); });
    over.letters = { slowest: '1', hottest: '2' };
    over.draw(series, sides[0].view.lines, null, null, { strong: marked });
  }

  page.bakesView = {
    begin(view) {
      const part = (name) => { found[name] = element('div'); return found[name]; };
      found.soft = element('div');
      const softly = element('details', { ontoggle: async (event) => {
        if (!event.target.open) return;
        try {
          const soft = await page.get('/api/hand/soft');
          page.fill(found.soft, page.table(soft.words.counts, 'Film tested by hand, against what was judged') || element('p', {}, 'No film was tested yet.'));
        } catch (error) {
          failed(error);
        }
      } }, element('summary', {}, 'How often GOOD was soft'), found.soft);
      found.search = element('input', { type: 'search', placeholder: 'title, date, shell, coating, log, uid', 'aria-label': 'Find a bake', oninput: (event) => { words = event.target.value; drawList(); } });
      found.beside = element('input', { type: 'number', min: '1', 'aria-label': 'Number of the bake beside it' });
      found.list = element('details', { class: 'fold', open: innerWidth >= 1100 }, element('summary', {}, 'Other bakes, ', found.count = element('span')), element('div', { class: 'controls' }, page.field('Find a bake', found.search),
        page.field('Kind', page.choice([{ name: '', title: 'all' }, { name: 'logged', title: 'logged' }, { name: 'predicted', title: 'predicted' }], kind, (value) => { kind = value; drawList(); })),
        page.field('Verdict', page.choice([['', 'all'], ['GOOD', 'GOOD'], ['CHECK', 'CHECK'], ['UNDER', 'UNDER'], ['OVER', 'OVER'], ['NOT JUDGED', 'NOT JUDGED'], ['none', 'kept without a coating']].map(([name, title]) => ({ name, title })), word, filter)),
        part('judging'), part('names'),
        element('form', { class: 'row', 'aria-label': 'Lay another bake over it', onsubmit: (event) => { event.preventDefault(); const here = wanted.split('+')[0]; if (here && found.beside.value) page.go('bakes/' + here + '+' + found.beside.value); } },
          page.field('Lay another bake over it, number', found.beside), element('button', { type: 'submit' }, 'Compare')), softly));
      const fold = (head, ...inside) => element('details', { class: 'fold' }, element('summary', {}, head), inside);
      found.bake = element('div', { class: 'outcome', hidden: true }, element('div', { class: 'answers' }, part('answers')), part('head'), part('card'),
        element('div', { class: 'card-box' }, part('chart'), part('lanes'), part('key')), element('div', { class: 'card-box' }, part('drawing')),
        part('comparison'), part('noted'), element('div', { class: 'below' }, fold('Numbers by zone and item', part('verdicts'), part('cycle')), fold('Made from, and what is assumed', part('sources'))));
      found.pair = element('div', { class: 'outcome', hidden: true });
      page.fill(view, element('h1', { class: 'unseen' }, 'Bakes'), element('div', { class: 'bench' }, found.list, element('div', {}, found.bake, found.pair)));
      chart = new page.TemperatureChart(found.chart, pick);
      found.chartObject = chart;
      units.onChange(() => { if (wanted && !wanted.includes('+') && answer) open(wanted).catch((error) => page.showProblems(error.problems || [{ message: error.message }])); });
    },
    async show(rest) {
      const [number, , question] = rest.split('/');
      asked = question || '';
      wanted = number;
      found.pair.hidden = true;
      const bakes = await list();
      if (asked === 'soft') { found.list.open = true; found.search.focus(); }
      if (!wanted && bakes.length) wanted = String((bakes.find((bake) => bake.kind === 'logged') || bakes[0]).bake);
      if (wanted.includes('+')) await openPair(...wanted.split('+'));
      else if (wanted && bakes.length) await open(wanted);
      drawList();
      chart.resize();
    },
  };
})(window.bakewright);
