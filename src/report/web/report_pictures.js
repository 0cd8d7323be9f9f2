// SPDX-License-Identifier: Apache-2.0
/* Draws the lanes under the report's chart and the shell below it, and keeps the three together: the lanes follow the chart's zoom
   and pointer, and a zone picked in one picture is brought out in all. */
(function () {
  'use strict';
  var own = window.bakewright, chart = own.chart, data = chart.data, pictures = [];

  function pick(name) {
    chart.pick(name);
    pictures.forEach(function (picture) { picture.setSelected(name); });
  }

  function place(dygraph) {
    var area = dygraph.getArea(), width = dygraph.size().width;
    return {left: area.x, right: width - area.x - area.w, width: width};
  }

  function drawLanes(container) {
    own.drawPictureKey(document.getElementById('lanes-key'), {lanes: true});
    var options = Object.assign({startClock: data.clock, onPick: pick}, place(chart.graph()));
    var lanes = own.drawLanes(container, data.course, options);
    pictures.push(lanes);
    chart.onDraw(function (dygraph) {
      var range = dygraph.xAxisRange();
      lanes.setLayout(place(dygraph));
      lanes.setRange(range[0] * 60, range[1] * 60);
    });
    chart.onRead(function (time) { lanes.setCursor(time === null ? null : time * 60); });
  }

  function drawShell(container) {
    own.drawPictureKey(document.getElementById('shell-key'), {unjudged: true});
    var shell = own.drawShell(container, data.drawing, {verdicts: data.verdicts, onPick: pick}), width = container.clientWidth;
    pictures.push(shell);
    window.addEventListener('resize', function () {
      if (container.clientWidth === width) return;
      width = container.clientWidth;
      shell.redraw();
    });
  }

  if (data.course) drawLanes(document.getElementById('lanes'));
  if (data.drawing) drawShell(document.getElementById('shell'));
})();
