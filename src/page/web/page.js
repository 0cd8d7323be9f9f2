// SPDX-License-Identifier: Apache-2.0
'use strict';
// Which view is seen, and the units.
(function (page) {
  const views = ['today', 'prepare', 'live', 'bakes', 'log', 'history', 'tune', 'profiles'];
  const begun = new Set();

  /// "#bakes/12" is the view "bakes" with "12".
  function place() {
    const [view, ...rest] = decodeURIComponent(location.hash.slice(1)).split('/');
    return { view: views.includes(view) ? view : 'today', rest: rest.join('/') };
  }

  async function show() {
    const { view, rest } = place();
    page.showProblems([]);
    for (const other of views) document.getElementById('view-' + other).hidden = other !== view;
    for (const link of document.querySelectorAll('nav a')) {
      if (link.getAttribute('href') === '#' + view) link.setAttribute('aria-current', 'page');
      else link.removeAttribute('aria-current');
    }
    document.title = document.getElementById('view-' + view).getAttribute('aria-label') + ' – bakewright';
    const made = page[view + 'View'];
    for (const other of views) if (other !== view && begun.has(other) && page[other + 'View'].leave) page[other + 'View'].leave();
    if (!made) return;
    try {
      if (!begun.has(view)) {
        begun.add(view);
        await made.begin(document.getElementById('view-' + view));
      }
      if (made.show) await made.show(rest);
    } catch (error) {
      page.showProblems(error.problems || [{ message: error.message }]);
    }
  }
  page.go = (where) => { location.hash = where; };

  function rememberUnits() {
    let kept = null;
    try { kept = localStorage.getItem('units'); } catch (error) { /* a browser that keeps nothing */ }
    const first = kept || (page.shop.units === 'us' ? 'us' : 'metric');
    page.units.set(first);
    for (const radio of document.querySelectorAll('#units input')) {
      radio.checked = radio.value === page.units.name;
      radio.addEventListener('change', () => {
        page.units.set(radio.value);
        try { localStorage.setItem('units', radio.value); } catch (error) { /* as above */ }
      });
    }
  }

  function foot() {
    page.fill(document.getElementById('foot'),
      page.element('p', {}, 'It plans and records; it never controls a booth. The coating maker\u2019s data sheet, the vehicle or component ' +
        'maker\u2019s limits, local codes and licensed practice come first.'),
      page.element('p', { class: 'quiet' }, 'bakewright ' + page.shop.program_version + ' · book ' + page.shop.book));
  }

  const shopListeners = [];
  page.onShop = (listener) => shopListeners.push(listener);
  /// What there is to choose from changed: a profile was saved, a tuned version kept.
  page.readShop = async function () {
    page.shop = await page.get('/api/shop');
    shopListeners.forEach((listener) => listener());
  };

  async function begin() {
    try {
      await page.readShop();
    } catch (error) {
      page.showProblems(error.problems || [{ message: error.message }]);
      return;
    }
    rememberUnits();
    foot();
    addEventListener('hashchange', show);
    await show();
  }
  begin();
})(window.bakewright);
