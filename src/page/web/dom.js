// SPDX-License-Identifier: Apache-2.0
'use strict';
// The document is built from elements and text alone: no markup is ever made from a name.
(function (page) {
  /// element('p', {class: 'quiet'}, 'text', otherElement)
  page.element = function (tag, attributes, ...children) {
    const made = document.createElement(tag);
    for (const [key, value] of Object.entries(attributes || {})) {
      if (value === undefined || value === null || value === false) continue;
      if (key.startsWith('on')) made.addEventListener(key.slice(2), value);
      else if (key === 'value' || key === 'checked' || key === 'disabled' || key === 'selected') made[key] = value;
      else made.setAttribute(key, value === true ? '' : value);
    }
    for (const child of children.flat(Infinity))
      if (child !== undefined && child !== null) made.append(child instanceof Node ? child : document.createTextNode(String(child)));
    return made;
  };
  const element = page.element;

  page.fill = (target, ...children) => { target.replaceChildren(...children.flat(Infinity).filter((child) => child)); };

  const words = { UNDER: 'alarm', OVER: 'alarm', CHECK: 'strong', GOOD: 'calm', 'NOT JUDGED': 'strong' };
  page.badge = (word) => element('span', { class: 'word ' + (words[word] || 'none'), 'data-word': word }, word);

  /// "UNDER: left sill. 18 min ..." with its word as a badge.
  page.headline = function (sentence) {
    const colon = sentence.indexOf(': ');
    const word = sentence.slice(0, colon);
    return words[word] ? element('p', { class: 'headline' }, page.badge(word), element('span', {}, sentence.slice(colon + 2)))
                       : element('p', { class: 'headline' }, sentence);
  };

  page.list = (sentences, kind) => sentences.length === 0 ? null
    : element('ul', { class: kind || 'plain' }, sentences.map((sentence) => element('li', {}, sentence)));

  /// A table of the server's; rows answer to a click where onPick is given, by the text of their first cell.
  page.table = function (table, caption, onPick) {
    if (!table || table.rows.length === 0) return null;
    const side = (index) => (table.columns[index].align === 'right' ? 'number' : null);
    const head = element('tr', {}, table.columns.map((column, index) => element('th', { scope: 'col', class: side(index) },
      column.head.split('\n').flatMap((line, at) => (at === 0 ? [line] : [element('br'), line])))));
    const rows = [];
    for (const row of table.rows) {
      const cells = row.cells.map((cell, index) => element(index === 0 ? 'th' : 'td',
        { class: side(index), scope: index === 0 ? 'row' : null },
        index === 0 && onPick ? element('button', { type: 'button', class: 'pick', onclick: () => onPick(cell.text) }, cell.text)
          : (words[cell.text] ? page.badge(cell.text) : cell.text)));
      rows.push(element('tr', { class: row.note ? 'noted' : null }, cells));
      if (row.note) rows.push(element('tr', { class: 'note' }, element('td', { colspan: table.columns.length }, row.note)));
    }
    return framed(caption, head, rows);
  };

  const framed = (caption, head, rows) => element('div', { class: 'wide', tabindex: '0', role: 'region', 'aria-label': caption },
    element('table', {}, element('caption', {}, caption), element('thead', {}, head), element('tbody', {}, rows)));

  /// A table of rows made here. A head that begins with # is that of a column of numbers.
  page.grid = (caption, heads, rows) => framed(caption, element('tr', {}, heads.map((head) =>
    element('th', { scope: 'col', class: head.startsWith('#') ? 'number' : null }, head.replace(/^#/, '')))), rows);

  /// A labelled control.
  page.field = (label, control, hint) => element('label', { class: 'field' }, element('span', { class: 'label' }, label), control,
    hint ? element('span', { class: 'hint' }, hint) : null);

  page.choice = (options, chosen, onchange) => element('select', { onchange: (event) => onchange(event.target.value) },
    options.map((option) => element('option', { value: option.name, disabled: option.good === false, selected: option.name === chosen },
      option.good === false ? option.title + ' (has mistakes)' : option.title)));

  /// The name of what people call so; a text that is not a title is a name already.
  page.nameOf = (text, titles) => Object.keys(titles || {}).find((name) => titles[name] === text) || text;

  page.say = (text) => { document.getElementById('said').textContent = text; };

  page.problemLines = (problems) => problems.map((problem) =>
    [problem.line ? 'line ' + problem.line : '', problem.key, problem.message].filter((part) => part).join(': '));

  page.showProblems = function (problems) {
    const target = document.getElementById('problems');
    page.fill(target, problems && problems.length ? page.list(page.problemLines(problems), 'problems') : null);
  };

  /// A question that stands before everything else until it is answered. Esc answers no.
  /// @param deeds  [words, deed] each; a deed that throws leaves the question open, with what is wrong
  page.ask = function (title, body, deeds) {
    const wrong = element('div', { role: 'alert' });
    const dialog = element('dialog', { 'aria-label': title }, element('h2', {}, title), body, wrong);
    const before = document.activeElement;
    const close = () => dialog.close();
    dialog.addEventListener('close', () => { dialog.remove(); if (before && before.isConnected) before.focus(); });
    dialog.append(element('div', { class: 'row' }, deeds.map(([words, deed]) => element('button', { type: 'button', onclick: async () => {
      try {
        await deed();
        close();
      } catch (error) {
        page.fill(wrong, page.list(page.problemLines(error.problems || [{ message: error.message }]), 'warnings'));
      }
    } }, words)), element('button', { type: 'button', onclick: close }, 'Leave it as it is')));
    document.body.append(dialog);
    dialog.showModal();
    const field = dialog.querySelector('input');
    if (field) { field.focus(); field.select(); }
    return dialog;
  };

  class Refused extends Error {
    constructor(problems) {
      super(page.problemLines(problems).join('; '));
      this.problems = problems;
    }
  }
  page.Refused = Refused;

  async function answerOf(response) {
    const type = response.headers.get('Content-Type') || '';
    const answer = type.startsWith('application/json') ? await response.json() : { problems: [{ message: await response.text() }] };
    if (!response.ok) throw Object.assign(new Refused(answer.problems || [{ message: 'the program answered ' + response.status }]), { status: response.status, answer });
    return answer;
  }

  const rest = (milliseconds) => new Promise((wake) => setTimeout(wake, milliseconds));

  /// 503: the program has its hands full and has begun nothing of this; it is asked again for a while.
  async function send(path, init) {
    for (let asked = 1; ; ++asked) {
      let response;
      try {
        response = await fetch(path, init);
      } catch (error) {
        throw new Refused([{ message: 'the program does not answer; is `bakewright serve` still running?' }]);
      }
      if (response.status !== 503 || asked === 10) return answerOf(response);
      await rest(200 * asked);
    }
  }

  page.get = (path) => send(path, { method: 'GET' });
  page.remove = (path) => send(path, { method: 'DELETE' });
  page.post = (path, body) => send(path,
    { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  page.upload = (path, bytes) => send(path,
    { method: 'POST', headers: { 'Content-Type': 'application/octet-stream' }, body: bytes });

  /// Work of the server's that takes a while. onShare is told how much is done; stop() ends it.
  page.longWork = function (path, body, onShare) {
    let number = null;
    let stopped = false;
    /// Where the program has its hands full with other work, it is asked again until it has not.
    async function begun() {
      for (;;) {
        try {
          return (await page.post(path, body)).job;
        } catch (error) {
          if (!(error.problems || []).some((problem) => problem.key === 'job')) throw error;
        }
        await rest(400);
        if (stopped) return null;
      }
    }
    const done = (async () => {
      number = await begun();
      if (number === null) return null;
      for (;;) {
        if (stopped) { await page.remove('/api/jobs/' + number); return null; }
        const job = await page.get('/api/jobs/' + number);
        if (job.state === 'done') return job.answer;
        if (job.state === 'failed') throw new Refused(job.answer.problems);
        if (job.state === 'stopped') return null;
        if (onShare) onShare(job.share);
        await rest(120);
      }
    })();
    return { done, stop() { stopped = true; } };
  };
})(window.bakewright);
