// SPDX-License-Identifier: Apache-2.0
'use strict';
// The questions of the first view that a bake still to come answers.
(function (page) {
  const { units } = page;

  /// @param view  of Prepare: {found, setting, request(), titleOf(), moment(), slowestWords(), nearestWords(), search(), told(), clock()}
  /// @return {answers, slowestName}: answers by the question's name, `open`: a fold that holds the matter; `lift`: a curve
  page.prepareQuestions = function (view) {
    const { found, setting, request, titleOf, moment, slowestWords, nearestWords, search, told, clock } = view;

    const sure = (sentence) => (found.said ? found.said.assumed.find((one) => sentence.test(one)) : undefined);

    /// Each answers its question from what is computed, or says what it waits for.
    const answers = {
      set: { begin: search, tell: () => (found.plan ? (found.plan.feasible ? 'Set ' + units.temperature(found.plan.chosen.setpoint_k) + ', hold ' + units.duration(found.plan.chosen.hold_s) + '.' : found.searched.textContent) : 'Looking for the shortest cycle that works …') },
      ramp: { focus: 'move-ramp', tell: () => { const zones = found.answer.verdict.zones.filter((zone) => zone.word !== 'NOT JUDGED'); const fastest = zones.reduce((most, zone) => (zone.steepest_rate_k_per_s > most.steepest_rate_k_per_s ? zone : most), zones[0]);
        const tooFast = found.answer.verdict.warnings.length; return fastest ? (tooFast ? 'CHECK: ' + found.answer.words.warnings[0] : 'No warning at this ramp: ') + ' Fastest rise ' + (units.differenceFromKelvin(fastest.steepest_rate_k_per_s) * 60).toFixed(1) + ' ' + units.differenceSymbol + '/min, ' + titleOf(fastest.zone) + '.' : ''; } },
      out: { open: 'foldChecks', tell: () => (found.checks.unanswered() ? found.checks.unanswered() + ' things to look for before any heat; answer each below. Items that get too hot say so.' : 'All load checks are answered.') },
      items: { open: 'foldAboard', tell: () => { const items = found.answer.verdict.items.filter((item) => item.word !== 'NOT JUDGED'); return items.length ? items.slice(0, 4).map((item) => titleOf(item.item) + ' ' + units.temperature(item.peak_temperature_k, 1)).join(', ') + '.' : 'Nothing heat-sensitive is in this shell as it is described.'; } },
      caps: { lift: () => (found.answer.course.items[0] || {}).item, tell: () => nearestWords(found.answer) || 'No part of this shell has a limit in its profile.' },
      cold: { focus: 'move-start', begin: compareCold, tell: () => found.cold || 'Comparing with a shell 10 ' + units.differenceSymbol + ' colder …' },
      low: { tell: () => { const rows = found.mapAnswer ? found.mapAnswer.rows.filter((row) => row.answers.includes('feasible')) : null;
        return !rows ? 'Working out which set points work …' : rows.length ? 'Lowest that works: ' + units.temperature(rows[0].setpoint_k) + ', hold ' + units.duration(found.mapAnswer.hold_s[rows[0].answers.indexOf('feasible')]) + '. Below that take the battery out.' : 'No set point works with this sheet and booth.'; } },
      basis: { open: 'foldSure', tell: () => sure(/schedule|sheet does not say/) || (found.said ? 'The sheet does not say; ask its maker, and write it into the coating.' : 'Reading the sheet …') },
      clock: { lift: slowestName, tell: () => { const zone = found.answer.prediction.zones.find((one) => one.name === slowestName()); return zone && zone.arrived_at_s !== null ? 'Start the clock ' + (clock() === null ? '' : 'at ') + moment(zone.arrived_at_s) + ', when ' + titleOf(zone.name) + ' is at ' + units.temperature(zone.arrival_temperature_k) + '; not when the burner lights.' : 'The slowest zone never comes near the hold: the clock never starts.'; } },
      last: { lift: slowestName, tell: () => slowestWords(found.answer) },
      probes: { begin: search, tell: () => (found.plan ? (found.plan.probe_places || []).map((place, index) => (index + 1) + ' ' + (place.zone ? place.words.replace(place.zone, titleOf(place.zone)) : place.words)).join('; ') || 'No place is better than another here.' : 'Working out which places tell most …') },
    };

    function slowestName() {
      const lane = found.answer && found.answer.course.zones.find((zone) => zone.spans.length);
      return lane ? lane.zone : null;
    }

    async function compareCold() {
      found.cold = '';
      const colder = { ...request(), start_temperature_k: setting.start_temperature_k - units.differenceToKelvin(10) };
      try {
        const other = await page.post('/api/prepare', colder);
        const ours = found.answer.course.zones.find((zone) => zone.zone === slowestName());
        const theirs = other.course.zones.find((zone) => ours && zone.zone === ours.zone);
        const at = units.temperature(colder.start_temperature_k);
        found.cold = !theirs || theirs.cured_from_s === null ? 'At ' + at + ' ' + titleOf(slowestName()) + ' is not good in this cycle: hold longer.'
          : ours.cured_from_s === null ? 'Not good in this cycle, warm or cold.' : 'Shell at ' + at + ': ' + Math.max(0, Math.round((theirs.cured_from_s - ours.cured_from_s) / 60)) + ' min longer.';
      } catch (error) {
        found.cold = page.problemLines(error.problems || [{ message: error.message }])[0];
      }
      told();
    }

    return { answers, slowestName };
  };
})(window.bakewright);
