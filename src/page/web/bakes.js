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
  let work = null;

  async function list() {
    const bakes = (await page.get('/api/bakes')).bakes;
    if (bakes.length === 0) {
      page.fill(found.list, element('p', {}, 'The book holds no bake yet. ', element('a', { href: '#prepare' }, 'Prepare one'), ' or ', element('a', { href: '#log' }, 'bring in a log'), '.'));
      return bakes;
    }
    page.fill(found.list, element('ul', { class: 'names' }, bakes.map((bake) => element('li', {}, element('a', { href: '#bakes/' + bake.bake,
      'aria-current': String(bake.bake) === wanted ? 'true' : null }, element('b', {}, bake.title || 'bake ' + bake.bake),
    element('span', { class: 'hint' }, [bake.bake + ', ' + bake.kind, bake.started_at ? bake.started_at.replace('T', ' ').slice(0, 16) : '', bake.shell, bake.coating].filter((part) => part).join(' · ')))))));
    return bakes;
  }

  function series() {
    const made = [];
    for (const kind of ['logged', 'predicted']) {
      const half = answer.report[kind];
      if (!half) continue;
      for (const trace of half.traces) if (trace.role !== 'cavity_air' && trace.role !== 'booth_wall') made.push({ trace, kind });
    }
    return made;
  }

  function verdict(said) {
    return [element('h2', {}, said.label === 'logged' ? 'What the log says' : 'What was predicted'), page.headline(said.worst),
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

  function draw() {
    const words = answer.words;
    const report = answer.report;
    page.fill(found.head, element('h2', {}, report.title || 'bake ' + answer.bake), facts(), element('p', { class: 'row' },
      element('a', { class: 'button', href: '/report/' + answer.bake + '?units=' + units.name, target: '_blank', rel: 'noopener' }, 'Report to print'),
      answer.kind === 'predicted' ? element('a', { class: 'button', href: '#log' }, 'Bring in its log') : null));
    card();
    page.fill(found.answers, words.verdicts.length ? words.verdicts.map((said) => element('div', {}, element('p', { class: 'hint above' }, said.label), page.headline(said.worst)))
      : element('p', {}, 'It was kept without a coating, so there is no verdict.'));
    chart.hasLanes = Boolean(report.course);
    chart.titles = report.titles;
    chart.setBands(report.bands);
    chart.draw(series(), answer.lines, units.clockMinutes(report.started_at), selected);
    page.fill(found.verdicts, words.verdicts.map(verdict));
    page.fill(found.comparison, words.comparison ? [element('h2', {}, 'Predicted against logged'), page.table(words.comparison, 'Predicted minus logged; a lag above 0: the log runs behind', pick),
      page.list(words.unmatched || []), agreement(words.agreement)] : null);
    page.fill(found.cycle, page.table(words.cycle, 'The cycle'));
    page.fill(found.sources, report.assumptions.length ? element('details', {}, element('summary', {}, 'Taken for granted, and where from'),
      element('dl', { class: 'facts' }, report.assumptions.flatMap((one) => [element('dt', {}, one.subject + ', ' + one.value), element('dd', {}, one.source)]))) : null,
    element('details', {}, element('summary', {}, 'Made from'), element('dl', { class: 'facts' }, report.provenance.flatMap((one) => [element('dt', {}, one.subject), element('dd', {}, one.value)]))));
    pictures();
  }

  function pictures() {
    if (page.drawPictures) page.drawPictures(found, answer, { selected, onPick: pick, startClock: units.clockMinutes(answer.report.started_at) });
  }

  function pick(given) {
    const name = page.nameOf(given, answer.report.titles);
    selected = selected === name ? null : name;
    chart.pick(selected);
    pictures();
  }

  async function open(number) {
    const opened = await page.get('/api/bakes/' + encodeURIComponent(number) + '?units=' + units.name);
    if (number !== wanted) return;  // another was asked for meanwhile
    answer = opened;
    found.bake.hidden = false;
    draw();
    reckon(number);
    page.say((answer.words.verdicts[0] || { worst: 'no verdict' }).worst);
  }

  /// How sure the verdicts are, and the bands of the prediction, follow.
  function reckon(number) {
    if (work) work.stop();
    const mine = page.longWork('/api/bakes/' + encodeURIComponent(number) + '/certainty', { units: units.name });
    work = mine;
    mine.done.then((certain) => {
      if (!certain || work !== mine || number !== wanted) return;
      answer = certain;
      draw();
    }).catch((error) => { if (work === mine) page.showProblems(error.problems || [{ message: error.message }]); });
  }

  page.bakesView = {
    begin(view) {
      const part = (name) => { found[name] = element('div'); return found[name]; };
      part('list');
      found.bake = element('div', { class: 'outcome', hidden: true }, part('head'), part('card'), element('div', { class: 'answers' }, part('answers')), part('chart'), part('lanes'), part('key'), part('drawing'),
        part('verdicts'), part('comparison'), part('cycle'), part('sources'));
      page.fill(view, element('h1', {}, 'Bakes'), element('div', { class: 'bench' }, found.list, found.bake));
      chart = new page.TemperatureChart(found.chart, pick);
      found.chartObject = chart;
      units.onChange(() => { if (wanted && answer) open(wanted).catch((error) => page.showProblems(error.problems || [{ message: error.message }])); });
    },
    async show(rest) {
      wanted = rest;
      const bakes = await list();
      if (!wanted && bakes.length) wanted = String(bakes[0].bake);
      if (wanted && bakes.length) await open(wanted);
      await list();
    },
  };
})(window.bakewright);
