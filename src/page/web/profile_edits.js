// SPDX-License-Identifier: Apache-2.0
'use strict';
// What was done to the text of a profile: taken back, done again, and kept by this window until it is saved.
(function (page) {
  const oneStrokeMs = 1000;  // typing without a rest is one step
  const most = 200;

  const keyOf = (kind, name) => 'profile ' + kind + '/' + name;
  function read(key) { try { return JSON.parse(sessionStorage.getItem(key)); } catch (error) { return null; } }
  function write(key, value) {
    try {
      if (value === null) sessionStorage.removeItem(key);
      else sessionStorage.setItem(key, JSON.stringify(value));
    } catch (error) { /* a browser that keeps nothing, or has no room */ }
  }

  /// Names of a kind that this window has changes of and that have no file yet.
  page.unsavedProfiles = function (kind) {
    try {
      return Object.keys(sessionStorage).filter((key) => key.startsWith(keyOf(kind, '')) && !(read(key) || {}).sha256).map((key) => key.slice(keyOf(kind, '').length));
    } catch (error) { return []; }
  };

  /// @param saved    {text, sha256} of the file; of a profile that has none yet no sha256, and the text it begins with
  /// @param onChange told after every step, with the text as it is
  page.profileEdits = function (kind, name, saved, onChange) {
    let key = keyOf(kind, name);
    let base = saved.sha256 ? saved : { text: null, sha256: null };
    let steps = [saved.text];
    let at = 0;
    let typedAt = 0;
    const text = () => steps[at];
    const keep = () => write(key, text() === base.text ? null : { text: text(), sha256: base.sha256 || null, at: new Date().toISOString() });

    if (!saved.sha256 && saved.text) keep();

    function push(next, now) {
      steps = [...steps.slice(Math.max(0, at + 1 - most), at + 1), next];
      at = steps.length - 1;
      typedAt = now;
      keep();
    }

    return {
      get text() { return text(); },
      get base() { return base; },
      get isChanged() { return text() !== base.text; },
      get canUndo() { return at > 0; },
      get canRedo() { return at + 1 < steps.length; },
      /// A letter more of what is typed.
      type(next) {
        const now = Date.now();
        if (next === text()) return;
        if (at > 0 && at + 1 === steps.length && now - typedAt < oneStrokeMs) {
          steps[at] = next;
          typedAt = now;
          keep();
        } else push(next, now);
        onChange(text());
      },
      /// A whole step.
      change(next) {
        if (next === text()) return;
        push(next, 0);
        onChange(text());
      },
      undo() { if (at > 0) { --at; typedAt = 0; keep(); onChange(text()); } },
      redo() { if (at + 1 < steps.length) { ++at; typedAt = 0; keep(); onChange(text()); } },
      /// The file has this text now. @param under  its name, where that is another
      saved(next, under) {
        if (under) { write(key, null); key = keyOf(kind, under); }
        base = next;
        keep();
      },
      forget() { write(key, null); },
      /// Changes of this window that were not saved, from before a reload: {at, isOfOther}; nothing where there are none.
      bringBack() {
        const kept = read(key);
        if (!kept || kept.text === text()) return null;
        if (text()) push(kept.text, 0);
        else steps = [kept.text];
        return { at: new Date(kept.at), isOfOther: (kept.sha256 || null) !== (base.sha256 || null) };
      },
    };
  };
})(window.bakewright);
