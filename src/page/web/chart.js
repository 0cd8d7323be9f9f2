// SPDX-License-Identifier: Apache-2.0
'use strict';
// Temperatures over time: few curves strong, each with a letter, a name beside the chart and a tone of its own; the others thin and
// behind. A zone that is picked is lifted. Nothing is told by colour alone.
(function (page) {
  const { element, units } = page;
  // The library's own legend writes styles into markup, which this page's policy forbids; the box beside the cursor says more.
  Dygraph.PLUGINS = Dygraph.PLUGINS.filter((plugin) => plugin !== Dygraph.Plugins.Legend);
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const minutesOf = (s) => s / 60;
  const bare = (label) => label.replace(/ \(logged\)$/, '');
  const gutter = 172;
  const letters = { air: 'A', slowest: 'S', hottest: 'H', first: '1', second: '2', lifted: 'L' };
  const tones = { air: '--curve-air', slowest: '--curve-slowest', hottest: '--curve-hottest', first: '--curve-risk', second: '--curve-risk', lifted: '--curve-lifted' };
  const widths = { air: 1.5, slowest: 3, hottest: 3, first: 2, second: 2, lifted: 3 };

  const read = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

  /// One row a moment of any trace: [minutes, first trace, second trace, ...]; null where a trace has no sample.
  function rowsOf(series) {
    const moments = new Map();
    series.forEach((one, index) => one.trace.time_s.forEach((time, at) => {
      if (!moments.has(time)) moments.set(time, new Array(series.length + 1).fill(null));
      const k = one.trace.temperature_k[at];
      moments.get(time)[index + 1] = k === null ? NaN : units.fromKelvin(k);
    }));
    return [...moments.keys()].sort((a, b) => a - b).map((time) => {
      const row = moments.get(time);
      row[0] = minutesOf(time);
      return row;
    });
  }

  /// Of a trace at a moment [s], on the line between its samples; null outside of it and in a gap.
  function valueAt(trace, time) {
    const after = trace.time_s.findIndex((one) => one >= time);
    if (after < 0 || time < trace.time_s[0]) return null;
    const before = Math.max(0, after - 1);
    const [low, high] = [trace.temperature_k[before], trace.temperature_k[after]];
    if (low === null || high === null) return null;
    const span = trace.time_s[after] - trace.time_s[before];
    return low + (span > 0 ? (time - trace.time_s[before]) / span : 0) * (high - low);
  }

  const lineLabel = (line) => (line.kind === 'cure' ? units.temperature(line.temperature_k) + ': ' + units.duration(line.minimum_s)
    : line.kind === 'maximum' ? 'coating never above ' + units.temperature(line.temperature_k)
      : 'limit of ' + line.name + ', ' + units.temperature(line.temperature_k) + (line.allowed_s > 0 ? ', ' + units.duration(line.allowed_s) : ''));

  /// Lines of one temperature and kind share a label.
  function gathered(lines) {
    const found = new Map();
    for (const line of lines) {
      const key = line.temperature_k.toFixed(2) + (line.kind === 'cure');
      if (!found.has(key)) found.set(key, { ...line, label: lineLabel(line), count: 1 });
      else if (line.kind !== 'cure') found.get(key).count += 1;
    }
    return [...found.values()].map((line) => (line.count > 1 ? { ...line, label: 'limit of ' + line.count + ' items, ' + units.temperature(line.temperature_k) } : line));
  }

  /// Limits: long dashes, bold label at the left. Rows of the sheet: short dashes, label at the right.
  function drawLines(context, area, dygraph, lines) {
    const ink = read('--ink');
    context.save();
    const taken = [];
    const heightOf = (line) => dygraph.toDomYCoord(units.fromKelvin(line.temperature_k));
    const heights = gathered(lines).map(heightOf);
    for (const line of gathered(lines)) {
      const y = heightOf(line);
      if (y < area.y || y > area.y + area.h) continue;
      const isRow = line.kind === 'cure';
      context.strokeStyle = ink;
      context.lineWidth = isRow ? 1 : 1.5;
      context.setLineDash(isRow ? [4, 3] : [10, 4]);
      context.beginPath();
      context.moveTo(area.x, y);
      context.lineTo(area.x + area.w, y);
      context.stroke();
      context.font = (isRow ? '' : 'bold ') + '12px system-ui, sans-serif';
      context.fillStyle = ink;
      context.textAlign = isRow ? 'right' : 'left';
      // Above its line; below it where the chart ends, or another label or line is there.
      const isFree = (at) => at > area.y + 10 && !taken.some((other) => other.isRow === isRow && Math.abs(other.at - at) < 13) && !heights.some((other) => other > at - 11 && other < at + 3);
      const at = [y - 4, y + 13, y + 26, y + 39].find(isFree) || y + 13;
      taken.push({ at, isRow });
      context.fillText(line.label, isRow ? area.x + area.w - 4 : area.x + 4, at);
    }
    context.restore();
  }

  /// Within which 90 of 100 simulated bakes lie: of the strong zones only.
  function drawBands(context, area, dygraph, bands, strongOf) {
    context.save();
    context.beginPath();
    context.rect(area.x, area.y, area.w, area.h);
    context.clip();
    for (const band of bands) {
      const role = strongOf(band.name);
      if (role !== 'slowest' && role !== 'hottest' && role !== 'lifted') continue;
      const at = (k, index) => [dygraph.toDomXCoord(minutesOf(band.time_s[index])), dygraph.toDomYCoord(units.fromKelvin(k))];
      context.fillStyle = context.strokeStyle = read(tones[role]);
      context.beginPath();
      band.low_k.forEach((k, index) => context.lineTo(...at(k, index)));
      for (let index = band.high_k.length - 1; index >= 0; --index) context.lineTo(...at(band.high_k[index], index));
      context.closePath();
      context.globalAlpha = 0.16;
      context.fill();
      context.globalAlpha = 1;
      context.lineWidth = 0.7;
      context.stroke();
    }
    context.restore();
  }

  /// Low and high of a band at a moment; null outside of it.
  function bandAt(band, time) {
    const sides = band ? ['low_k', 'high_k'].map((side) => valueAt({ time_s: band.time_s, temperature_k: band[side] }, time)) : [null];
    return sides.includes(null) ? null : sides;
  }

  /// Which curves are strong, by name: the booth's air, the zone that is cured last, the hottest coated part, and the two items
  /// nearest to their limits. @param course, verdict  documents of the server's; either may be missing
  page.strongCurves = function (traces, course, verdict) {
    const strong = new Map();
    const air = traces.find((trace) => trace.role === 'booth_air');
    if (air) strong.set(air.name, ['air']);
    const add = (name, role) => { if (name !== undefined && traces.some((trace) => trace.name === name)) strong.set(name, [...(strong.get(name) || []), role]); };
    const zones = (verdict ? verdict.zones : []).filter((zone) => zone.word !== 'NOT JUDGED' && zone.role !== 'test_panel');
    const slowest = course && course.zones.find((lane) => lane.spans.length && zones.some((zone) => zone.zone === lane.zone));
    add(slowest && slowest.zone, 'slowest');
    const hottest = zones.reduce((best, zone) => (!best || zone.peak_temperature_k > best.peak_temperature_k ? zone : best), null);
    add(hottest && hottest.zone, 'hottest');
    (course ? course.items : []).filter((lane) => lane.share_used.length).slice(0, 2).forEach((lane, index) => add(lane.item, index === 0 ? 'first' : 'second'));
    return strong;
  };

  const svg = (tag, attributes, text) => {
    const made = document.createElementNS('http://www.w3.org/2000/svg', tag);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  };

  /// At most 18 letters, cut in the middle, so that a name takes one line.
  page.shortName = (name, most = 18) => (name.length <= most ? name : name.slice(0, Math.ceil(most / 2)).trimEnd() + '…' + name.slice(-Math.floor(most / 2 - 1)).trimStart());

  class TemperatureChart {
    /// @param onPick  told the name of a trace that was clicked; null drops what is lifted
    constructor(container, onPick) {
      this.container = container;
      this.onPick = onPick;
      this.frame = element('div', { class: 'chart', tabindex: '0', role: 'img',
        'aria-label': 'Temperatures over time. Arrow keys read it minute by minute, Enter lifts a curve. The tables hold the same numbers.' });
      this.frame.addEventListener('keydown', (event) => this.key(event));
      this.layer = svg('svg', { class: 'chart-names', 'aria-hidden': 'true' });
      this.box = element('div', { class: 'chart-box', hidden: true });
      this.below = element('p', { class: 'chart-below' });
      this.bandWords = element('p', { class: 'hint', hidden: true }, 'Shaded: 90 of 100 simulated bakes lie there.');
      this.holder = element('div', { class: 'chart-holder' }, this.frame, this.layer, this.box);
      this.strip = element('ol', { class: 'stage-strip', 'aria-label': 'Stages of the cycle', hidden: true });
      this.table = element('div');
      this.fold = element('details', { class: 'chart-table', hidden: true, ontoggle: () => this.fillTable() }, element('summary', {}, 'Show as table'), this.table);
      container.replaceChildren(this.holder, this.strip, this.below, element('div', { class: 'chart-foot' }, this.bandWords, this.fold));
      this.lines = [];
      this.bands = [];
      this.titles = {};
      this.strong = new Map();
      this.stages = [];
      this.series = [];
      this.onDrawn = null;
      dark.addEventListener('change', () => this.retone());
      addEventListener('resize', () => this.resize());  // a phone that is turned has room for names, or none
    }

    /// Bands of the prediction: list of {name, time_s, low_k, high_k}.
    setBands(bands) {
      this.bands = bands;
      this.bandWords.hidden = bands.length === 0;
      if (this.dygraph) this.dygraph.updateOptions({ valueRange: this.range() });
    }

    /// Lines are drawn with the tones that hold now.
    retone() { if (this.dygraph) this.dygraph.updateOptions({ gridLineColor: read('--line'), series: this.styles(this.names()) }); }

    names() { return this.series.map((one) => one.trace.name + (one.kind === 'logged' ? ' (logged)' : '')); }

    /// What a curve is drawn as: lifted, or the first of its roles; nothing for a thin one.
    roleOf(name) {
      if (name === this.selected) return this.strong.has(name) && ['slowest', 'hottest'].includes(this.strong.get(name)[0]) ? this.strong.get(name)[0] : 'lifted';
      return (this.strong.get(name) || [])[0];
    }

    clear() {
      if (this.dygraph) this.dygraph.destroy();
      this.dygraph = null;
      this.series = [];
      this.layer.replaceChildren();
      this.below.replaceChildren();
      this.strip.hidden = true;
      this.fold.hidden = true;
      this.box.hidden = true;
      this.frame.replaceChildren();
    }

    /// @param series  list of {trace, kind: 'predicted' | 'logged' | 'estimated'}
    /// @param more  {strong: of strongCurves(), stages: of the prediction}; both may be missing
    draw(series, lines, startMinutes, selected, more = {}) {
      this.series = series.filter((one) => one.trace.time_s.length > 0);
      this.lines = lines;
      this.startMinutes = startMinutes;
      this.selected = selected;
      this.strong = more.strong || new Map();
      this.stages = more.stages || [];
      if (this.series.length === 0) { this.clear(); return; }
      const names = this.names();
      const options = { rightGap: this.gap(), file: rowsOf(this.series), labels: ['time', ...names], series: this.styles(names), valueRange: this.range(), dateWindow: this.window() };
      if (this.dygraph && this.count === this.series.length) {
        this.dygraph.updateOptions(options);
      } else {
        if (this.dygraph) this.dygraph.destroy();
        this.dygraph = new Dygraph(this.frame, options.file, { ...this.fixed(), ...options, file: undefined });
        this.frame.chart = this.dygraph;
      }
      this.count = this.series.length;
    }

    /// When the heat goes off [s]: the end of the last hold; nothing where no stages are known.
    heatOff() {
      if (this.stages.length === 0) return null;
      const holds = this.stages.filter((stage) => stage.kind === 'hold');
      return holds.length ? holds[holds.length - 1].end_s : null;
    }

    /// Where no stages are known: the last moment at which the air is near its hottest [min].
    plateauEnd(from, to) {
      const air = this.series.find((one) => one.trace.role === 'booth_air');
      if (!air) return from + 0.8 * (to - from);
      const known = air.trace.temperature_k.map((k, index) => ({ k, at: air.trace.time_s[index] })).filter((one) => one.k !== null);
      const hottest = Math.max(...known.map((one) => one.k));
      return minutesOf(known.filter((one) => one.k > hottest - 3).pop().at);
    }

    /// From the start to 40 minutes after the heat went off, as far as there are samples.
    window() {
      const last = Math.max(...this.series.map((one) => one.trace.time_s[one.trace.time_s.length - 1]));
      const first = Math.min(...this.series.map((one) => one.trace.time_s[0]));
      const off = this.heatOff();
      return [minutesOf(first), minutesOf(off === null ? last : Math.min(last, off + 2400))];
    }

    fixed() {
      return {
        legend: 'never', connectSeparatedPoints: true, drawGapEdgePoints: false, animatedZooms: false, axisLabelFontSize: 12, axisLineColor: 'transparent', gridLineColor: read('--line'), highlightCircleSize: 3,
        axes: { x: { axisLabelFormatter: (minutes) => units.moment(minutes * 60, this.startMinutes), pixelsPerLabel: 64 },
          y: { axisLabelWidth: 36, axisLabelFormatter: (value) => Math.round(value) + '°' } },
        underlayCallback: (context, area, dygraph) => {
          drawBands(context, area, dygraph, this.bands, (name) => this.roleOf(name));
          drawLines(context, area, dygraph, this.lines);
        },
        highlightCallback: (event, x, points, row, name) => this.tell(x, name),
        unhighlightCallback: () => this.tell(null),
        highlightSeriesOpts: { strokeWidth: 2.5 },
        clickCallback: () => {
          const name = this.dygraph.getHighlightSeries();
          if (name && this.onPick) this.onPick(bare(name));
        },
        drawCallback: (dygraph) => {
          const width = this.frame.clientWidth;
          const area = dygraph.getArea();
          this.place = { left: area.x, right: Math.max(0, width - area.x - area.w), width, range: dygraph.xAxisRange().map((minutes) => minutes * 60) };
          this.nameCurves(dygraph, area);
          page.stageStrip(this.strip, this.stages, this.place, this.startMinutes);
          this.fold.hidden = false;
          this.fillTable();
          if (this.onDrawn) this.onDrawn(this.place);
        },
      };
    }

    /// Where there is room, curves and lanes have their names beside the chart.
    gap() { return this.container.clientWidth >= 560 ? gutter : 8; }

    styles(names) {
      const made = {};
      const both = this.series.some((one) => one.kind === 'logged') && this.series.some((one) => one.kind === 'predicted');
      this.series.forEach((one, index) => {
        const role = this.roleOf(one.trace.name);
        const isBehind = both && one.kind === 'predicted';
        made[names[index]] = {
          color: role ? read(tones[role]) : read('--curve-other'),
          strokeWidth: role ? (isBehind ? 1 : widths[role]) : one.trace.role === 'booth_air' ? 1.5 : 1,
          strokeBorderWidth: role && !isBehind ? 1 : null,
          strokeBorderColor: read('--paper'),
          strokePattern: isBehind ? [6, 4] : one.kind === 'estimated' ? [2, 3] : null,
        };
      });
      return made;
    }

    range() {
      let low = Infinity;
      let high = -Infinity;
      for (const one of this.series)
        for (const k of one.trace.temperature_k) if (k !== null) { low = Math.min(low, k); high = Math.max(high, k); }
      for (const band of this.bands) for (const k of band.high_k) high = Math.max(high, k);
      for (const line of this.lines) if (line.temperature_k < high + 15) high = Math.max(high, line.temperature_k);
      return [units.fromKelvin(low - 5), units.fromKelvin(high + 3)];
    }

    /// The curves that have a letter, each once: logged before predicted. [{name, roles, trace, measured, value}]
    named() {
      const found = [];
      for (const name of new Set([...this.strong.keys(), ...(this.selected ? [this.selected] : [])])) {
        const of = (kind) => this.series.find((each) => each.trace.name === name && (!kind || each.kind === kind));
        const one = of('logged') || of('estimated') || of();
        if (!one) continue;
        const roles = [...(this.strong.get(name) || [])];
        if (name === this.selected && roles.length === 0) roles.push('lifted');
        found.push({ name, roles, trace: one.trace, measured: one.kind === 'logged' });
      }
      return found;
    }

    /// Discs on the plateau, ten minutes apart; names beside the chart at their height, pushed apart; the heat-off line.
    nameCurves(dygraph, area) {
      const layer = this.layer;
      layer.replaceChildren();
      layer.setAttribute('width', this.frame.clientWidth);
      layer.setAttribute('height', this.frame.clientHeight);
      const [from, to] = dygraph.xAxisRange();
      const off = this.heatOff();
      const end = off === null ? this.plateauEnd(from, to) : minutesOf(off);
      const named = this.named();
      if (off !== null && end < to) {
        const x = dygraph.toDomXCoord(end);
        layer.append(svg('line', { x1: x, x2: x, y1: area.y, y2: area.y + area.h, class: 'heat-off' }));
        const words = 'heat off ' + units.moment(off, this.startMinutes);
        const isLeft = x + 7 * words.length > area.x + area.w;
        layer.append(svg('text', { x: isLeft ? x - 4 : x + 4, y: area.y + area.h - 5, 'text-anchor': isLeft ? 'end' : 'start' }, words));
      }
      if (this.now !== undefined && this.now / 60 > from && this.now / 60 < to) {
        const x = dygraph.toDomXCoord(this.now / 60);
        layer.append(svg('line', { x1: x, x2: x, y1: area.y, y2: area.y + area.h, class: 'now' }), svg('text', { x: x - 4, y: area.y + 12, 'text-anchor': 'end' }, 'now'));
      }
      const apart = Math.max(22, Math.min(dygraph.toDomXCoord(10) - dygraph.toDomXCoord(0), (dygraph.toDomXCoord(end) - area.x) / 8));
      let slot = 0;
      const rows = [];
      for (const one of named) {
        const value = valueAt(one.trace, end * 60);
        one.roles.forEach((role) => {
          const x = dygraph.toDomXCoord(end) - apart * (0.7 + slot++);
          const at = valueAt(one.trace, dygraph.toDataXCoord(x) * 60);
          if (at === null || x < area.x + 8) return;
          const y = dygraph.toDomYCoord(units.fromKelvin(at));
          this.disc(x, y, role);
        });
        if (one.measured) this.dots(dygraph, area, one);
        const shown = value === null ? one.trace.temperature_k.reduce((most, k) => (k === null ? most : Math.max(most, k)), 0) : value;
        rows.push({ ...one, k: shown, y: Math.min(Math.max(dygraph.toDomYCoord(units.fromKelvin(shown)), area.y + 8), area.y + area.h - 8) });
      }
      rows.sort((a, b) => a.y - b.y);
      if (this.gap() === gutter) this.nameInGutter(rows, area);
      else this.nameBelow(rows);
    }

    /// A view may letter its curves otherwise, such as 1 and 2 for two bakes.
    letter(role) { return (this.letters && this.letters[role]) || letters[role]; }

    disc(x, y, role) {
      const group = svg('g', { class: 'disc ' + role });
      group.append(svg('circle', { cx: x, cy: y, r: 8 }), svg('text', { x, y: y + 4, 'text-anchor': 'middle' }, this.letter(role)));
      this.layer.append(group);
    }

    /// Dots mean that somebody measured it.
    dots(dygraph, area, one) {
      let last = -Infinity;
      one.trace.time_s.forEach((time, index) => {
        const k = one.trace.temperature_k[index];
        const x = dygraph.toDomXCoord(minutesOf(time));
        if (k === null || x - last < 28 || time > (this.now ?? Infinity) || x < area.x || x > area.x + area.w) return;
        last = x;
        this.layer.append(svg('circle', { cx: x, cy: dygraph.toDomYCoord(units.fromKelvin(k)), r: 3, class: 'dot ' + one.roles[0] }));
      });
    }

    nameInGutter(rows, area) {
      this.below.replaceChildren();
      const step = 17;
      rows.forEach((row, index) => { row.y = Math.max(row.y, index ? rows[index - 1].y + step : area.y + 8); });
      for (let index = rows.length - 1; index >= 0; --index)
        rows[index].y = Math.min(rows[index].y, index + 1 < rows.length ? rows[index + 1].y - step : area.y + area.h - 8);
      for (const row of rows) {
        let x = area.x + area.w + 14;
        for (const role of row.roles) { this.disc(x, row.y, role); x += 18; }
        const title = this.titles[row.name] || row.name;
        const room = Math.max(6, Math.floor((this.frame.clientWidth - 34 - x) / 7.2));
        const label = svg('text', { x: x - 4, y: row.y + 4, class: 'curve-name' }, page.shortName(title, room));
        label.append(svg('title', {}, title));
        this.layer.append(label, svg('text', { x: this.frame.clientWidth - 2, y: row.y + 4, class: 'curve-name', 'text-anchor': 'end' }, Math.round(units.fromKelvin(row.k)) + '°'));
      }
    }

    nameBelow(rows) {
      page.fill(this.below, rows.map((row) => element('span', {}, element('b', { class: 'disc-letter' }, row.roles.map((role) => this.letter(role)).join(' ')), ' ' +
        page.shortName(this.titles[row.name] || row.name) + ' ' + Math.round(units.fromKelvin(row.k)) + '°')));
    }

    /// The box beside the cursor: strong curves with one decimal, hottest first, the pointed one by name, one line for the rest.
    tell(minutes, pointed) {
      if (this.onCursor) this.onCursor(minutes === null ? null : minutes * 60);
      this.at = minutes;
      if (minutes === null || !this.dygraph) { this.box.hidden = true; return; }
      const time = minutes * 60;
      const named = this.named();
      const pointedName = pointed ? bare(pointed) : null;
      if (pointedName && !named.some((one) => one.name === pointedName)) {
        const one = this.series.find((each) => each.trace.name === pointedName);
        if (one) named.push({ name: pointedName, roles: [], trace: one.trace });
      }
      const lines = named.map((one) => ({ ...one, k: valueAt(one.trace, time) })).filter((one) => one.k !== null).sort((a, b) => b.k - a.k);
      const rest = this.series.filter((one) => ['zone', 'test_panel'].includes(one.trace.role) && !named.some((each) => each.name === one.trace.name))
        .map((one) => valueAt(one.trace, time)).filter((k) => k !== null);
      const degree = (k) => units.fromKelvin(k).toFixed(1) + '°';
      const stage = this.stages.find((one) => time >= one.begin_s && time < one.end_s);
      page.fill(this.box, element('p', {}, element('b', {}, units.moment(time, this.startMinutes)), stage ? ' ' + stage.kind.replace('_', '-') + ', minute ' + Math.round((time - stage.begin_s) / 60) : ''),
        element('table', {}, element('tbody', {}, lines.map((one) => {
          const band = bandAt(this.bands.find((each) => each.name === one.name), time);
          return element('tr', { class: one.name === pointedName ? 'pointed' : null }, element('th', { scope: 'row' }, (one.roles.map((role) => this.letter(role)).join(' ') + ' ' + (this.titles[one.name] || one.name)).trim()),
            element('td', { class: 'number' }, degree(one.k) + (band ? ' (' + band.map((k) => units.fromKelvin(k).toFixed(0)).join('–') + ')' : '')));
        }))), rest.length ? element('p', { class: 'hint' }, '+ ' + rest.length + ' zones ' + degree(Math.min(...rest)) + ' to ' + degree(Math.max(...rest))) : null);
      this.box.hidden = false;
      const x = this.dygraph.toDomXCoord(minutes);
      const isRight = x > this.frame.clientWidth * 0.45;
      this.box.style.left = isRight ? 'auto' : Math.round(x + 12) + 'px';
      this.box.style.right = isRight ? Math.round(this.frame.clientWidth - x + 12) + 'px' : 'auto';
    }

    key(event) {
      if (!this.dygraph) return;
      const [from, to] = this.dygraph.xAxisRange();
      const step = event.shiftKey ? (to - from) / 10 : 1;
      const moves = { ArrowLeft: (at) => at - step, ArrowRight: (at) => at + step, Home: () => from, End: () => to };
      if (event.key === 'Escape') { this.tell(null); if (this.onPick) this.onPick(null); return; }
      const order = this.named().map((one) => one.name);
      if (event.key === 'ArrowUp' || event.key === 'ArrowDown') {
        this.keyed = order[(order.indexOf(this.keyed) + (event.key === 'ArrowUp' ? order.length - 1 : 1)) % order.length];
        this.tell(this.at === null || this.at === undefined ? from : this.at, this.keyed);
      } else if (event.key === 'Enter' && this.keyed && this.onPick) {
        this.onPick(this.keyed);
      } else if (moves[event.key]) {
        const at = this.at === null || this.at === undefined ? from : this.at;
        this.tell(Math.min(to, Math.max(from, moves[event.key](at))), this.keyed);
      } else {
        return;
      }
      event.preventDefault();
    }

    fillTable() {
      if (this.fold.open && this.place) page.fill(this.table, page.curveTable(this.named(), this.titles, this.place.range, this.startMinutes, valueAt));
    }

    pick(name) {
      this.selected = name;
      if (!this.dygraph) return;
      this.dygraph.updateOptions({ series: this.styles(this.names()) });
    }

    /// A view that is shown again may have another width, or be drawn while it was hidden.
    resize() { if (this.dygraph && this.frame.clientWidth > 0) { this.dygraph.resize(); this.dygraph.updateOptions({ rightGap: this.gap() }); } }
  }

  page.TemperatureChart = TemperatureChart;
})(window.bakewright);
