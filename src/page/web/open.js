// SPDX-License-Identifier: Apache-2.0
'use strict';
// Sends the code that stands after the # of the address, which itself goes over no wire, and gets the cookie for it.
(function () {
  const said = document.getElementById('said');
  const button = document.getElementById('open');

  async function open() {
    button.disabled = true;
    let answer;
    try {
      answer = await fetch('/open', { method: 'POST', headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ code: location.hash.slice(1) }) });
    } catch (error) {
      said.textContent = 'The program does not answer; is `bakewright serve` still running?';
      button.disabled = false;
      return;
    }
    if (answer.ok) location.replace('/');  // the address with the code leaves the tab's history
    else said.textContent = await answer.text();
  }

  button.addEventListener('click', open);
  // A browser that draws the page ahead of its user must not spend the code.
  if (document.prerendering) document.addEventListener('prerenderingchange', open, { once: true });
  else open();
})();
