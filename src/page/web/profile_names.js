// SPDX-License-Identifier: Apache-2.0
'use strict';
// A profile gets another name, a copy, or goes: each is asked about first. What bakes used stays in the book.
(function (page) {
  const { element } = page;
  const pathOf = (profile, deed) => '/api/profiles/' + profile.kind + '/' + encodeURIComponent(profile.name) + '/' + deed;
  const stays = 'Bakes in the book keep what they used.';
  const history = { shell: ' Its history, coats and bakes as entered, stays under the name \u201c', others: '' };

  function titleField(title) {
    const field = element('input', { type: 'text', maxlength: '200', value: title, id: 'new-title' });
    return { field, all: page.field('What it is called', field, 'its file is named after that') };
  }

  /// @param profile  {kind, name, title, sha256, isChanged}
  /// @param done     told what the program answered
  page.copyProfile = function (profile, done) {
    const { field, all } = titleField(profile.title + ', copy');
    page.ask('Copy ' + profile.title, element('div', {}, all, profile.isChanged ? element('p', { class: 'hint' }, 'The copy is of what is saved, without the changes that are not.') : null),
      [['Copy it', async () => done(await page.post(pathOf(profile, 'copy'), { title: field.value }))]]);
  };

  page.renameProfile = function (profile, done) {
    const { field, all } = titleField(profile.title);
    const told = stays + (profile.kind === 'shell' ? history.shell + profile.name + '\u201d.' : '');
    page.ask('Rename ' + profile.title, element('div', {}, all, element('p', { class: 'hint' }, told)),
      [['Rename it', async () => done(await page.post(pathOf(profile, 'rename'), { title: field.value, sha256_before: profile.sha256 }))]]);
  };

  page.deleteProfile = function (profile, done) {
    page.ask('Delete ' + profile.title + '?', element('p', {}, stays + ' The file goes; until you leave this page it can be put back.'),
      [['Delete it', async () => done(await page.post(pathOf(profile, 'delete'), { sha256_before: profile.sha256 }))]]);
  };

  /// The file is another than it was when it was opened: somebody saved in another window, or by hand.
  /// @param there    lines of the file, yours: lines of the text; may be absent
  /// @param deeds    {keepMine(), takeOther()}
  page.twoVersions = function (target, said, lines, deeds) {
    const shown = (title, some) => (some ? element('div', {}, element('h3', {}, title), element('pre', { tabindex: '0', role: 'region', 'aria-label': title }, some.length ? some.join('\n') : '(nothing here)')) : null);
    page.fill(target, element('div', { class: 'block', role: 'alert' }, element('p', {}, said),
      lines ? element('div', { class: 'pair' }, shown('In the file now', lines.there), shown('In this window', lines.yours)) : null,
      element('div', { class: 'row' }, element('button', { type: 'button', onclick: () => { page.fill(target); deeds.keepMine(); } }, 'Keep mine'),
        element('button', { type: 'button', onclick: () => { page.fill(target); deeds.takeOther(); } }, 'Take the other'))));
  };
})(window.bakewright);
