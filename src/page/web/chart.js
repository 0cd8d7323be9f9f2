'use strict';
// Temperatures over time. Zones are thin lines, the picked one is thick; air is dashed. Nothing is told by colour alone.
(function (page) {
  const { element, units } = page;
  // The library's own legend writes styles into markup, which this page's policy forbids; the readout says the same.
  Dygraph.PLUGINS = Dygraph.PLUGINS.filter((plugin) => plugin !== Dygraph.Plugins.Legend);
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const minutesOf = (s) => s / 60;

  function colours() {
    const style = getComputedStyle(document.documentElement);
    const read = (name) => style.getPropertyValue(name).trim();
    return { ink: read('--ink'), quiet: read('--quiet'), line: read('--line'), accent: read('--accent'), paper: read('--paper') };
  }

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

  const lineLabel = (line) => (line.kind === 'cure' ? 'cure ' + units.temperature(line.temperature_k) + ', ' + units.duration(line.minimum_s)
    : line.kind === 'maximum' ? 'coating never above ' + units.temperature(line.temperature_k)
      : line.name + ' ' + units.temperature(line.temperature_k) + (line.allowed_s > 0 ? ', ' + units.duration(line.allowed_s) : ''));

  /// Lines of one temperature share a label.
  function gathered(lines) {
    const found = new Map();
    for (const line of lines) {
      const key = line.temperature_k.toFixed(2);
      if (!found.has(key)) found.set(key, { ...line, label: lineLabel(line) });
      else found.get(key).label += '; ' + lineLabel(line);
    }
    return [...found.values()];
  }

  function drawLines(context, area, dygraph, lines) {
    const tone = colours();
    context.save();
    context.font = '12px system-ui, sans-serif';
    const taken = [];
    for (const line of gathered(lines)) {
      const y = dygraph.toDomYCoord(units.fromKelvin(line.temperature_k));
      if (y < area.y || y > area.y + area.h) continue;
      context.strokeStyle = line.kind === 'cure' ? tone.accent : tone.ink;
      context.setLineDash(line.kind === 'cure' ? [2, 3] : [8, 4]);
      context.beginPath();
      context.moveTo(area.x, y);
      context.lineTo(area.x + area.w, y);
      context.stroke();
      context.fillStyle = tone.ink;
      context.textAlign = 'right';
      // Above its line; below it where another label stands there.
      const at = taken.some((other) => Math.abs(other - (y - 4)) < 13) ? y + 13 : y - 4;
      taken.push(at);
      context.fillText(line.label, area.x + area.w - 4, at);
    }
    context.restore();
  }

  /// Within which most members of the model lie: of the picked trace alone, or faintly of every one.
  function drawBands(context, area, dygraph, bands, selected) {
    const shown = bands.filter((band) => !selected || band.name === selected);
    if (shown.length === 0) return;
    const tone = colours();
    context.save();
    context.beginPath();
    context.rect(area.x, area.y, area.w, area.h);
    context.clip();
    context.fillStyle = selected ? tone.accent : tone.ink;
    context.globalAlpha = selected ? 0.22 : Math.max(0.03, Math.min(0.15, 0.6 / shown.length));
    for (const band of shown) {
      const at = (k, index) => [dygraph.toDomXCoord(minutesOf(band.time_s[index])), dygraph.toDomYCoord(units.fromKelvin(k))];
      context.beginPath();
      band.low_k.forEach((k, index) => context.lineTo(...at(k, index)));
      for (let index = band.high_k.length - 1; index >= 0; --index) context.lineTo(...at(band.high_k[index], index));
      context.fill();
    }
    context.restore();
  }

  /// Low and high of a band at a moment; null outside of it.
  function bandAt(band, time) {
    const after = band ? band.time_s.findIndex((one) => one >= time) : -1;
    if (after < 0) return null;
    const before = Math.max(0, after - 1);
    const span = band.time_s[after] - band.time_s[before];
    const share = span > 0 ? (time - band.time_s[before]) / span : 0;
    return ['low_k', 'high_k'].map((side) => band[side][before] + share * (band[side][after] - band[side][before]));
  }

  /// Where the chart's time axis lies in its container [px], so that lanes below can lie on it.
  const margins = (dygraph, width) => {
    const area = dygraph.getArea();
    return { left: area.x, right: Math.max(0, width - area.x - area.w) };
  };

  class TemperatureChart {
    /// @param onPick  told the name of a trace that was clicked
    constructor(container, onPick) {
      this.container = container;
      this.onPick = onPick;
      this.frame = element('div', { class: 'chart', role: 'img',
        'aria-label': 'Temperatures over time. The tables below hold the same numbers.' });
      this.readout = element('p', { class: 'readout' }, '\u00a0');
      this.bandWords = element('p', { class: 'hint', hidden: true }, 'Shaded: 90 % of the members of the model lie there, with what is not known drawn anew for each.');
      container.replaceChildren(this.frame, this.readout, this.bandWords);
      this.lines = [];
      this.bands = [];
      this.titles = {};
      this.onDrawn = null;
      dark.addEventListener('change', () => this.retone());
    }

    /// Bands of the prediction: list of {name, time_s, low_k, high_k}.
    setBands(bands) {
      this.bands = bands;
      this.bandWords.hidden = bands.length === 0;
      if (this.dygraph) this.dygraph.updateOptions({ valueRange: this.range() });
    }

    /// Lines are drawn with the tones that hold now.
    retone() { if (this.dygraph) this.dygraph.updateOptions({ gridLineColor: colours().line, series: this.styles(this.names()) }); }

    names() { return this.series.map((one) => one.trace.name + (one.kind === 'logged' ? ' (logged)' : '')); }

    /// @param series  list of {trace, kind: 'predicted' | 'logged'}
    draw(series, lines, startMinutes, selected) {
      this.series = series.filter((one) => one.trace.time_s.length > 0);
      this.lines = lines;
      this.startMinutes = startMinutes;
      this.selected = selected;
      if (this.series.length === 0) { this.frame.replaceChildren(); this.dygraph = null; return; }
      const names = this.names();
      const options = { rightGap: this.gap(), file: rowsOf(this.series), labels: ['time', ...names], series: this.styles(names), valueRange: this.range() };
      if (this.dygraph && this.count === this.series.length) {
        this.dygraph.updateOptions(options);
      } else {
        if (this.dygraph) this.dygraph.destroy();
        this.dygraph = new Dygraph(this.frame, options.file, { ...this.fixed(), ...options, file: undefined });
        this.frame.chart = this.dygraph;
      }
      this.count = this.series.length;
    }

    fixed() {
      return {
        legend: 'never', connectSeparatedPoints: true, drawGapEdgePoints: false, animatedZooms: false, rightGap: this.gap(), axisLabelFontSize: 13, axisLineColor: 'transparent', gridLineColor: colours().line, highlightCircleSize: 4,
        axes: { x: { axisLabelFormatter: (minutes) => units.moment(minutes * 60, this.startMinutes), pixelsPerLabel: 80 },
          y: { axisLabelWidth: 44, axisLabelFormatter: (value) => Math.round(value) + '°' } },
        underlayCallback: (context, area, dygraph) => {
          drawBands(context, area, dygraph, this.bands, this.selected);
          drawLines(context, area, dygraph, this.lines);
        },
        highlightCallback: (event, x, points, row, name) => this.tell(x, points, name),
        unhighlightCallback: () => {
          this.readout.textContent = '\u00a0';
          if (this.onCursor) this.onCursor(null);
        },
        highlightSeriesOpts: { strokeWidth: 2.5 },
        clickCallback: () => {
          const name = this.dygraph.getHighlightSeries();
          if (name && this.onPick) this.onPick(name.replace(/ \(logged\)$/, ''));
        },
        drawCallback: (dygraph) => {
          const width = this.frame.clientWidth;
          this.place = { ...margins(dygraph, width), width, range: dygraph.xAxisRange().map((minutes) => minutes * 60) };
          if (this.onDrawn) this.onDrawn(this.place);
        },
      };
    }

    /// Where there is room, lanes have their names beside the chart.
    gap() { return this.hasLanes && this.container.clientWidth >= 720 ? 184 : 8; }

    styles(names) {
      const tone = colours();
      const made = {};
      this.series.forEach((one, index) => {
        const picked = one.trace.name === this.selected;
        const air = one.trace.role === 'booth_air' || one.trace.role === 'booth_wall';
        made[names[index]] = {
          color: picked ? tone.accent : air ? tone.ink : tone.quiet,
          strokeWidth: picked ? 3 : air ? 1.5 : 1,
          strokePattern: one.kind === 'predicted' && this.series.some((other) => other.kind === 'logged') ? [6, 4] : air ? [3, 3] : null,
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
      return [units.fromKelvin(low - 2), units.fromKelvin(high + 4)];
    }

    tell(minutes, points, name) {
      if (this.onCursor) this.onCursor(minutes * 60);
      const point = points.find((one) => one.name === name) || points[0];
      if (!point) return;
      const trace = point.name.replace(/ \(logged\)$/, '');
      const band = trace === point.name ? bandAt(this.bands.find((one) => one.name === trace), minutes * 60) : null;
      this.readout.textContent = units.moment(minutes * 60, this.startMinutes) + '  ' + (this.titles[trace] || trace) + point.name.slice(trace.length) + '  ' +
        point.yval.toFixed(1) + ' ' + units.symbol + (band ? '  (' + band.map((k) => units.fromKelvin(k).toFixed(1)).join(' to ') + ')' : '');
    }

    pick(name) {
      this.selected = name;
      if (!this.dygraph) return;
      this.dygraph.updateOptions({ series: this.styles(this.names()) });
    }

    resize() { if (this.dygraph) this.dygraph.resize(); }
  }

  page.TemperatureChart = TemperatureChart;
})(window.bakewright);
