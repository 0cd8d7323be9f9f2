// SPDX-License-Identifier: Apache-2.0
/* Draws the shell of a history report from the data that stands in the page. */
(function () {
  'use strict';
  var own = window.bakewright, data = JSON.parse(document.getElementById('shell-data').textContent);
  var container = document.getElementById('shell'), width = container.clientWidth;
  own.drawPictureKey(document.getElementById('shell-key'), {unjudged: true});
  var shell = own.drawShell(container, data.drawing, {verdicts: data.verdicts, onPick: function (name) { shell.setSelected(name); }});
  window.addEventListener('resize', function () {
    if (container.clientWidth !== width) { width = container.clientWidth; shell.redraw(); }
  });
})();
