// SPDX-License-Identifier: Apache-2.0
'use strict';
// Bring in a log: drop a file, see how it was read, correct it, keep it.
(function (page) {
  const { element, units } = page;
  const found = {};
  const task = { shell: '', booth: '', coating: '', of: '', title: '', saved_reading: '', save_reading: '', and_air: '', reading: {} };
  let number = null;
  let second = null;   // number and name of the second logger's file
  let fileName = '';
  let read = null;
  let asked = 0;
  let chart = null;
  let selected = null;

  // What a person may know better than the reader: option, label, and what it accepts.
  const corrections = [
    ['delimiter', 'Columns are separated by', [['', 'as found'], ['comma', 'comma'], ['semicolon', 'semicolon'], ['tab', 'tab'], ['space', 'blanks']]],
    ['decimal', 'Decimal mark', [['', 'as found'], ['.', 'point'], [',', 'comma']]],
    ['temperature-unit', 'Temperatures where the file does not say', [['', 'as found'], ['degC', '°C'], ['degF', '°F'], ['K', 'K']]],
    ['time-form', 'Times are', [['', 'as found'], ['s', 'seconds'], ['min', 'minutes'], ['h', 'hours'], ['hh:mm:ss', 'hh:mm:ss since the start'],
      ['clock', 'time of day'], ['day-first', 'dates, day first'], ['month-first', 'dates, month first'], ['year-first', 'dates, year first'],
      ['unix-s', 'seconds since 1970'], ['spreadsheet-days', 'days of a spreadsheet']]],
  ];

  const shift = () => (found.shift && found.shift.value !== '' ? Number(found.shift.value) : undefined);
  const body = () => ({ ...task, of: task.of ? Number(task.of) : undefined, and: second ? second.number : undefined, shift_s: second ? shift() : undefined, units: units.name });
  const failed = (error) => page.showProblems(error.problems || [{ message: error.message }]);

  /// The file's number at the server; nothing where it is too large.
  async function sent(file) {
    if (file.size > page.shop.largest_upload_bytes) {
      page.showProblems([{ message: file.name + ' has ' + Math.round(file.size / 1048576) + ' MiB, at most ' + page.shop.largest_upload_bytes / 1048576 + ' are accepted here; `bakewright import` takes more' }]);
      return null;
    }
    page.fill(found.state, element('p', {}, 'Reading ' + file.name + ' …'));
    return (await page.upload('/api/logs?name=' + encodeURIComponent(file.name), await file.arrayBuffer())).log;
  }

  /// Of another logger at the same bake: laid on the time of the first.
  async function takeSecond(file) {
    if (!file) return;
    try {
      const taken = await sent(file);
      if (taken === null) return;
      second = { number: taken, name: file.name };
      await again();
    } catch (error) {
      failed(error);
    }
  }

  async function take(file) {
    if (!file) return;
    task.reading = {};
    second = null;
    try {
      const taken = await sent(file);
      if (taken === null) return;
      number = taken;
      fileName = file.name;
      await again();
    } catch (error) {
      page.fill(found.state, element('p', {}, file.name + ' was not read.'));
      nothingRead();
      failed(error);
    }
  }

  /// A refused file never leaves the last one's chart under its name.
  function nothingRead() {
    read = null;
    number = null;
    if (chart) chart.clear();
    for (const part of [found.channels, found.words, found.second]) page.fill(part);
    found.keep.hidden = true;
  }

  async function again() {
    if (number === null) return;
    const mine = ++asked;
    try {
      const answer = await page.post('/api/logs/' + number + '/read', body());
      if (mine !== asked) return;  // asked again meanwhile
      read = answer;
      page.showProblems([]);
      draw();
    } catch (error) {
      failed(error);
      page.fill(found.state, element('p', { class: 'headline' }, fileName), element('p', {}, 'It is not read yet: correct what the message says.'));
      corrected();  // what was wrong can be corrected still
      seconds();
    }
  }

  /// What is said of one column, or of no reading: one entry of a list of the reading.
  function setEntry(option, column, value) {
    const list = (task.reading[option] || []).filter((entry) => entry.slice(0, entry.lastIndexOf('=')) !== column);
    if (value) list.push(column + '=' + value);
    if (list.length) task.reading[option] = list; else delete task.reading[option];
    again();
  }
  const entryOf = (option, column) => ((task.reading[option] || []).find((entry) => entry.slice(0, entry.lastIndexOf('=')) === column) || '').slice(column.length + 1);

  /// A column that the reader asks about, or read in the wrong unit, is named by its heading here, also while the file is not read yet.
  function columnCorrections() {
    const headings = read ? read.log.channels.map((channel) => channel.name) : [];
    const column = element('input', { type: 'text', maxlength: '200', list: 'log-columns', value: found.column ? found.column.value : '' });
    found.column = column;
    const unit = page.choice([['', 'as found'], ['degC', '°C'], ['degF', '°F'], ['K', 'K'], ['mV', 'mV'], ['none', 'no temperature']].map(([name, title]) => ({ name, title })), '', () => {});
    const scale = element('input', { type: 'number', step: 'any', min: '0' });
    column.addEventListener('change', () => { unit.value = entryOf('channel-unit', column.value); scale.value = entryOf('scale', column.value); });
    const missing = element('input', { type: 'text', maxlength: '200', value: (task.reading.missing || []).join(', '), onchange: (event) => {
      const words = event.target.value.split(',').map((word) => word.trim()).filter((word) => word);
      if (words.length) task.reading.missing = words; else delete task.reading.missing;
      again();
    } });
    return element('div', { class: 'row' }, page.field('Column', column, 'its heading'), element('datalist', { id: 'log-columns' }, headings.map((name) => element('option', { value: name }))),
      page.field('Its unit', unit), page.field('Times', scale, '0.1 where it has tenths of a degree; empty: 1'),
      element('button', { type: 'button', onclick: () => {
        if (!column.value) return;
        if (scale.value) task.reading.scale = [...(task.reading.scale || []).filter((entry) => entry.slice(0, entry.lastIndexOf('=')) !== column.value), column.value + '=' + scale.value];
        setEntry('channel-unit', column.value, unit.value);
      } }, 'Read the column so'), page.field('Words for no reading', missing, 'with commas between them'));
  }

  function corrected() {
    page.fill(found.corrections, element('h2', {}, 'Correct how it is read'), columnCorrections(), element('div', { class: 'row' },
      corrections.map(([name, label, options]) => page.field(label, page.choice(
        options.map(([value, title]) => ({ name: value, title })), task.reading[name] || '', (value) => {
          if (value) task.reading[name] = value; else delete task.reading[name];
          again();
        })))));
  }

  /// Name of a channel now: given, found, or none.
  function channelName(channel) {
    const match = read.log.matched.find((one) => one.channel === channel.name);
    return match ? match.name : '';
  }

  function mapped(channel, name) {
    const list = (task.reading.map || []).filter((entry) => entry.slice(0, entry.lastIndexOf('=')) !== channel.name);
    if (name) list.push(channel.name + '=' + name);
    task.reading.map = list;
    again();
  }

  function channels() {
    const renamed = Object.fromEntries(((read.log.merge || {}).renamed || []).map((one) => [one.channel, one.name]));
    const others = (read.log.second ? read.log.second.channels : []).map((channel) => ({ ...channel, name: renamed[channel.name] || channel.name, heading: channel.heading + ' (second)' }));
    const rows = [...read.log.channels, ...others].filter((channel) => channel.quantity === 'temperature').map((channel) => {
      const name = channelName(channel);
      const options = [{ name: '', title: 'not named' }, ...read.targets.map((target) => ({ name: target, title: read.titles[target] || target }))];
      const flags = [[channel.missing, 'missing'], [channel.open_circuit, 'open'], [channel.spikes, 'spikes'], [channel.stuck, 'stuck'], [channel.clipped, 'clipped']]
        .filter(([count]) => count > 0).map(([count, words]) => count + ' ' + words).join(', ');
      const select = page.choice(options, name, (value) => mapped(channel, value));
      select.setAttribute('aria-label', 'column ' + channel.heading + ' is');
      return element('tr', {}, element('th', { scope: 'row' }, channel.heading), element('td', {}, channel.unit), element('td', { class: 'number' }, channel.numbers),
        element('td', {}, flags || 'none'), element('td', {}, select));
    });
    return page.grid('Channels', ['Column', 'Unit', '#Samples', 'Flagged', 'Is'], rows);
  }

  function draw() {
    const log = read.log;
    page.fill(found.state, element('p', { class: 'headline' }, fileName), element('p', {},
      log.rows_kept + ' of ' + log.rows_read + ' rows, ' + units.duration(log.last_time_s - log.first_time_s) + '; columns separated by ' + ({ ',': 'comma', ';': 'semicolon', '\t': 'tab', ' ': 'blanks' }[log.delimiter] || log.delimiter) +
      ', decimal ' + (log.decimal_mark === ',' ? 'comma' : 'point') + ', ' + log.encoding + '.'),
      page.list([...log.remarks, ...(log.mapping_remarks || [])]),
      log.faults.length ? page.list(log.faults.map((fault) => fault.message + ' (' + fault.count + ', lines ' + fault.lines.slice(0, 5).join(', ') + ')'), 'warnings') : null);
    seconds();
    page.say(fileName + ' was read: ' + log.rows_kept + ' rows');
    page.fill(found.channels, channels());
    corrected();
    page.fill(found.words, element('details', {}, element('summary', {}, 'Everything that was understood of the file'), element('pre', { tabindex: '0' }, read.words)));
    if (!chart) chart = new page.TemperatureChart(found.chart, (name) => { selected = selected === name ? null : name; chart.pick(selected); });
    chart.titles = read.titles;
    chart.draw(read.traces.traces.map((trace) => ({ trace, kind: 'logged' })), [], units.clockMinutes(read.traces.started_at), selected, { strong: page.strongCurves(read.traces.traces, null, null) });
    found.keep.hidden = false;
  }

  /// The second logger: what was found of its clock, and what can be said about it.
  function seconds() {
    const merge = read && second ? read.log.merge : null;
    const told = merge ? element('p', {}, second.name + ': ' + Math.abs(merge.shift_s).toFixed(0) + ' s ' + (merge.shift_s < 0 ? 'taken from' : 'added to') + ' its times' + (merge.shift_given ? ', as said' : ', found by laying the air channels over each other') +
      (merge.drift_s_per_h ? '; its clock gains ' + merge.drift_s_per_h.toFixed(0) + ' s an hour' : '') + '.') : null;
    const input = element('input', { type: 'file', 'aria-label': 'file of a second logger', onchange: (event) => takeSecond(event.target.files[0]) });
    found.shift = element('input', { type: 'number', step: '1', value: found.shift ? found.shift.value : '', onchange: again });
    const air = element('input', { type: 'text', maxlength: '100', value: task.and_air, onchange: (event) => { task.and_air = event.target.value; again(); } });
    page.fill(found.second, element('h2', {}, 'A second logger at the same bake'), element('div', { class: 'row' }, page.field('Its file', input),
      second ? page.field('Seconds added to its times', found.shift, 'empty: found by the air channels') : null, second ? page.field('Its booth air', air, 'column; empty: the one that says so') : null), told);
  }

  async function keep() {
    try {
      const kept = await page.post('/api/logs/' + number + '/keep', body());
      page.say(kept.former ? 'Read again: bake ' + kept.bake + ' has the new reading, the one before is bake ' + kept.former : (kept.was_known ? 'In the book already as bake ' : 'Kept as bake ') + kept.bake);
      page.go('bakes/' + kept.bake);
    } catch (error) {
      failed(error);
    }
  }

  async function predictions() {
    const list = (await page.get('/api/bakes')).bakes.filter((bake) => bake.kind === 'predicted');
    const options = [{ name: '', title: 'none' }, ...list.map((bake) => ({ name: String(bake.bake), title: 'bake ' + bake.bake + ': ' + bake.title }))];
    page.fill(found.of, page.field('It is the log of the predicted bake', page.choice(options, task.of, (value) => {
      task.of = value;
      again();
    })));
  }

  /// Readings that were kept for this kind of file.
  async function readings() {
    const list = (await page.get('/api/readings')).readings;
    page.fill(found.readings, list.length ? page.field('Read it as', page.choice([{ name: '', title: 'as found' }, ...list.map((one) => ({ name: one.name, title: one.name }))],
      task.saved_reading, (value) => { task.saved_reading = value; again(); })) : null);
  }

  const chooser = (key, label, options) => page.field(label, page.choice([{ name: '', title: 'not said' }, ...options], task[key], (value) => {
    task[key] = value;
    again();
  }));

  function choosers() {
    page.fill(found.choosers, chooser('shell', 'Shell', page.shop.shells), chooser('coating', 'Coating', page.shop.coatings), chooser('booth', 'Booth', page.shop.booths));
  }

  function dropTarget(input) {
    const target = element('label', { class: 'drop' }, element('b', {}, 'Drop a log here'), element('span', {}, 'or choose a file: CSV or text of any logger'), input);
    target.addEventListener('dragover', (event) => { event.preventDefault(); target.classList.add('over'); });
    target.addEventListener('dragleave', () => target.classList.remove('over'));
    target.addEventListener('drop', (event) => {
      event.preventDefault();
      target.classList.remove('over');
      take(event.dataTransfer.files[0]);
    });
    return target;
  }

  const told = {
    tripped: 'No: heat already received counts. Purge first. Bring in the log as far as it goes and keep it; then `bakewright plan --finish` with its number plans the rest.',
    loggers: 'Yes: bring in the first file, then the second below it. Their clocks are laid over each other by what both saw of the air.',
  };

  page.logView = {
    begin(view) {
      const part = (name, tag) => { found[name] = element(tag || 'div'); return found[name]; };
      const input = element('input', { type: 'file', id: 'log-file', onchange: (event) => take(event.target.files[0]) });
      found.title = element('input', { type: 'text', maxlength: '200', onchange: (event) => { task.title = event.target.value; } });
      found.reading = element('input', { type: 'text', maxlength: '60', onchange: (event) => { task.save_reading = event.target.value; } });
      found.keep = element('button', { type: 'button', class: 'main', hidden: true, onclick: keep }, 'Keep in the book');
      const controls = element('form', { class: 'controls', onsubmit: (event) => event.preventDefault(), 'aria-label': 'What was baked' }, dropTarget(input),
        part('choosers'), part('of'), part('readings'), page.field('Title in the book', found.title),
        page.field('Keep this reading for the next file of its kind as', found.reading, 'columns, marks, units, times; empty: not kept'), found.keep);
      page.fill(view, element('h1', {}, 'Bring in a log'), part('question'), element('div', { class: 'bench' }, controls,
        element('div', { class: 'outcome' }, part('state'), part('chart'), part('channels'), part('corrections'), part('second'), part('words'))));
      page.fill(found.state, element('p', {}, 'Nothing is kept before you say so. The file itself is kept byte for byte.'));
      found.choosers.className = 'controls';
      choosers();
      page.onShop(choosers);
      units.onChange(() => { if (read) again(); });
    },
    async show(rest) {
      const question = rest.startsWith('ask/') ? rest.slice(4) : '';
      page.fill(found.question, question ? element('div', { class: 'answers' }, element('p', { class: 'question' }, element('b', {}, page.questionWords(question) + ' '), told[question] || 'Bring in the log of the bake first: the answer is made from it.')) : null);
      await predictions(); await readings(); if (chart) chart.resize(); },
  };
})(window.bakewright);
