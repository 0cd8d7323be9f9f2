// SPDX-License-Identifier: Apache-2.0
'use strict';
// Temperatures and times as people read them. Everything that comes from the server is SI.
window.bakewright = window.bakewright || {};
(function (page) {
  const zeroK = 273.15;
  let name = 'metric';
  const listeners = [];

  const isUs = () => name === 'us';

  page.units = {
    get name() { return name; },
    set(next) {
      name = next === 'us' ? 'us' : 'metric';
      listeners.forEach((listener) => listener());
    },
    onChange(listener) { listeners.push(listener); },
    get differenceSymbol() { return isUs() ? '°F' : 'K'; },
    get symbol() { return isUs() ? '°F' : '°C'; },
    fromKelvin(k) { return isUs() ? (k - zeroK) * 1.8 + 32 : k - zeroK; },
    toKelvin(shown) { return isUs() ? (shown - 32) / 1.8 + zeroK : shown + zeroK; },
    differenceFromKelvin(k) { return isUs() ? k * 1.8 : k; },
    differenceToKelvin(shown) { return isUs() ? shown / 1.8 : shown; },
    temperature(k, decimals = 0) {
      return Number.isFinite(k) ? page.units.fromKelvin(k).toFixed(decimals) + ' ' + page.units.symbol : 'n/a';
    },
    /// "1 h 20 min", "45 min".
    duration(s) {
      const minutes = Math.round(s / 60);
      const hours = Math.floor(minutes / 60);
      if (hours === 0) return minutes + ' min';
      return minutes % 60 === 0 ? hours + ' h' : hours + ' h ' + (minutes % 60) + ' min';
    },
    /// "1:05" since the start, or "18:05" by the clock where the start is known in minutes after midnight.
    moment(s, startMinutes) {
      const minutes = Math.round(s / 60) + (startMinutes === undefined || startMinutes === null ? 0 : startMinutes);
      const inDay = startMinutes === undefined || startMinutes === null ? minutes : ((minutes % 1440) + 1440) % 1440;
      const sign = inDay < 0 ? '−' : '';
      const all = Math.abs(inDay);
      return sign + Math.floor(all / 60) + ':' + String(all % 60).padStart(2, '0');
    },
    /// Minutes after midnight of "2026-03-04T16:20:00"; null for any other text.
    clockMinutes(text) {
      const found = /T(\d\d):(\d\d)/.exec(text || '');
      return found ? Number(found[1]) * 60 + Number(found[2]) : null;
    },
  };
})(window.bakewright);
