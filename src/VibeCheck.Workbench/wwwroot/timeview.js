// The time view of a flight: spectrogram with rotor speeds, temperatures, and the map of speed against frequency. Zoom changes time only.
import uPlot from './uplot/uPlot.esm.js';

const views = new WeakMap();
const css = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const near = (times, t) => {
  let low = 0, high = times.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (times[middle] < t) { low = middle; } else { high = middle; }
  }
  return t - times[low] < times[high] - t ? low : high;
};

function bytes(text) {
  const raw = atob(text), out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) { out[i] = raw.charCodeAt(i); }
  return out;
}

/** The colour of a share of the range, from the scale that the report draws with. */
function palette(colours) {
  const stops = colours.map(c => [1, 3, 5].map(i => parseInt(c.slice(i, i + 2), 16)));
  return share => {
    const place = Math.max(0, Math.min(1, share)) * (stops.length - 1), at = Math.min(stops.length - 2, Math.floor(place)), rest = place - at;
    return stops[at].map((v, i) => Math.round(v + rest * (stops[at + 1][i] - v)));
  };
}

function level(grid, column, row) {
  const value = grid.bytes[column * grid.rows + row];
  return value === 0 ? null : grid.floor + (value - 1) / 2;
}

function picture(grid, range, colour) {
  const canvas = document.createElement('canvas');
  canvas.width = grid.columns;
  canvas.height = grid.rows;
  const context = canvas.getContext('2d'), image = context.createImageData(grid.columns, grid.rows);
  for (let c = 0; c < grid.columns; c++) {
    for (let r = 0; r < grid.rows; r++) {
      const db = level(grid, c, r);
      if (db === null) { continue; }
      const [red, green, blue] = colour((db - range[0]) / (range[1] - range[0])), at = 4 * ((grid.rows - 1 - r) * grid.columns + c);
      image.data[at] = red;
      image.data[at + 1] = green;
      image.data[at + 2] = blue;
      image.data[at + 3] = 255;
    }
  }
  context.putImageData(image, 0, 0);
  return canvas;
}

/** All series on their common times, as the library requires it; a time without a reading is a gap that is bridged. */
function joined(series) {
  const times = [...new Set(series.flatMap(s => s.t))].sort((a, b) => a - b);
  return [times, ...series.map(s => {
    const at = new Map(s.t.map((t, i) => [t, s.v[i]]));
    return times.map(t => at.get(t));
  })];
}

const axis = more => ({ stroke: () => css('--soft'), grid: { stroke: () => css('--line'), width: 1 }, ticks: { show: false }, font: '13px Inter, sans-serif', ...more });

// Room for names at the right end, the same in all panels, so that they share one time axis.
const RIGHT = 44;
const seconds = (plot, splits) => splits.map((v, i) => `${+v.toFixed(2)}${i === splits.length - 1 ? ' s' : ''}`);

class TimeView {
  constructor(host, server) {
    this.host = host;
    this.server = server;
    this.loaded = new Map();
    this.plots = [];
    this.zoom = null;
    this.narrows = false;
    this.readout = host.querySelector('.readout');
    this.panels = host.querySelector('.panels');
    this.resize = new ResizeObserver(() => this.plots.forEach(p => p.setSize({ width: this.panels.clientWidth, height: p.height })));
    this.resize.observe(this.panels);
    this.scheme = matchMedia('(prefers-color-scheme: dark)');
    this.repaint = () => this.plots.forEach(p => p.redraw(false));
    this.scheme.addEventListener('change', this.repaint);
  }

  async show(flight, stamp, narrows) {
    this.narrows = narrows;
    if (this.stamp !== stamp) {
      this.loaded.clear();
      this.stamp = stamp;
    }
    this.flight = flight;
    if (!this.loaded.has(flight)) {
      const answer = await fetch(`answer/time?flight=${flight}`);
      if (!answer.ok) {
        this.readout.textContent = answer.status === 404 ? await answer.text() : `The flight could not be fetched (${answer.status}).`;
        return;
      }
      const data = await answer.json();
      for (const grid of [data.spectrogram, data.speed_map]) {
        if (grid) {
          grid.bytes = bytes(grid.levels);
          grid.floor = data.floor_db;
          grid.picture = picture(grid, data.range_db, palette(data.colours));
        }
      }
      this.loaded.set(flight, data);
    }
    if (this.flight === flight) { this.draw(this.loaded.get(flight)); }
  }

  draw(data) {
    this.data = data;
    this.clear();
    const times = data.spectrogram ? [data.spectrogram.from_s, data.spectrogram.to_s] : [0, 1];
    this.whole = times;
    const x = this.zoom && this.zoom[1] > times[0] && this.zoom[0] < times[1] ? this.zoom : times;
    if (data.spectrogram) { this.add(this.map(data, x)); }
    for (const [title, series] of [['Motors, °C', data.motors], ['ESCs, °C', data.escs]]) {
      if (series.length > 0) { this.add(this.temperatures(title, series, data, x)); }
    }
    if (data.speed_map) { this.add(this.speedMap(data)); }
    this.reserve();
    this.readout.textContent = 'Point at the view or tap it to read values; two fingers zoom.';
    this.host.setAttribute('data-shown', String(this.flight));
  }

  add([options, values]) {
    const panel = document.createElement('div');
    const title = document.createElement('p');
    title.className = 'soft panel-title';
    title.textContent = options.heading;
    panel.append(title);
    this.panels.append(panel);
    const plot = new uPlot({ width: this.panels.clientWidth, legend: { show: false }, padding: [6, 12, 0, 0], ...options }, values, panel);
    this.plots.push(plot);
    if (plot.cursor.drag.x) { this.takeTouch(plot); }
  }

  /** Two fingers zoom the time, one moves it; where dragging narrows the hover, one finger selects. Vertical moves scroll the page. */
  takeTouch(plot) {
    const { over } = plot, fingers = new Map();
    let held = [], selects = false;
    const place = e => e.clientX - over.getBoundingClientRect().left;
    const hold = () => { held = [...fingers].map(([id, x]) => ({ id, x, t: plot.posToVal(x, 'x') })); };
    const select = (a, b, done) => plot.setSelect({ left: Math.min(a, b), width: Math.abs(b - a), top: 0, height: over.clientHeight }, done);
    over.addEventListener('pointerdown', e => {
      if (e.pointerType !== 'touch' || fingers.size === 2) { return; }
      fingers.set(e.pointerId, place(e));
      hold();
      // A second finger zooms; the selection that the first one had begun is discarded.
      if (selects) { select(0, 0, false); }
      selects = this.narrows && fingers.size === 1;
      over.setPointerCapture(e.pointerId);
    });
    over.addEventListener('pointermove', e => {
      if (!fingers.has(e.pointerId)) { return; }
      fingers.set(e.pointerId, place(e));
      if (selects) {
        select(held[0].x, place(e), false);
      } else if (fingers.size === 2) {
        this.stretch(over, held, fingers);
      } else if (this.zoom) {
        const span = this.zoom[1] - this.zoom[0], from = held[0].t - span * place(e) / over.clientWidth;
        this.setZoom([from, from + span]);
      }
    });
    for (const kind of ['pointerup', 'pointercancel']) {
      over.addEventListener(kind, e => {
        if (!fingers.delete(e.pointerId)) { return; }
        if (selects) { select(held[0].x, kind === 'pointerup' ? place(e) : held[0].x, true); }
        selects = false;
        hold();
      });
    }
  }

  /** Keeps the times under two fingers at the fingers. */
  stretch(over, [one, two], fingers) {
    const least = 16, a = fingers.get(one.id), b = fingers.get(two.id);
    if (Math.abs(a - b) < least || Math.abs(one.x - two.x) < least) { return; }
    const perPixel = (two.t - one.t) / (b - a), from = one.t - perPixel * a;
    if (perPixel > 0) { this.setZoom([from, from + perPixel * over.clientWidth]); }
  }

  clear() {
    this.plots.forEach(p => p.destroy());
    this.plots = [];
    this.panels.replaceChildren();
  }

  cursor() {
    return { sync: { key: 'flight', scales: ['x', null] }, drag: { x: true, y: false, setScale: false }, points: { show: false } };
  }

  /** The actions of dragging and the values under the pointer; the same in every panel over time. */
  hooks(more) {
    return {
      setSelect: [plot => {
        if (plot.select.width < 3) { return; }
        const from = plot.posToVal(plot.select.left, 'x'), to = plot.posToVal(plot.select.left + plot.select.width, 'x');
        plot.setSelect({ left: 0, width: 0, top: 0, height: 0 }, false);
        if (this.narrows) {
          // Without a connection the page says so by itself.
          if (document.body.hasAttribute('data-live')) { this.server.invokeMethodAsync('NarrowByDrag', from, to); }
        } else {
          this.setZoom([from, to]);
        }
      }],
      setCursor: [plot => { if (plot.cursor.event) { this.read(plot); } }],
      ...more,
    };
  }

  map(data, x) {
    const grid = data.spectrogram, line = series => ({ label: series.id, stroke: '#fff', width: 1, points: { show: false }, spanGaps: true });
    const values = data.speeds.length > 0 ? joined(data.speeds) : [[grid.from_s, grid.to_s], [null, null]];
    const lines = data.speeds.length > 0 ? data.speeds.map(line) : [{ show: false }];
    return [{
      heading: 'Frequency, Hz. Brighter is stronger; lines are the speeds of the rotors.',
      height: 300,
      cursor: this.cursor(),
      padding: [6, RIGHT, 0, 0],
      scales: { x: { time: false, min: x[0], max: x[1], auto: false, range: (u, a, b) => [a, b] }, y: { auto: false, range: () => [0, data.to_hz] } },
      axes: [axis({ size: 24, grid: { show: false }, values: seconds }), axis({ size: 52, grid: { show: false } })],
      series: [{}, ...lines],
      hooks: this.hooks({
        drawClear: [plot => this.heat(plot, grid, [grid.from_s, grid.to_s])],
        draw: [plot => { this.hover(plot); this.onsets(plot); this.names(plot, data.speeds); }],
      }),
    }, values];
  }

  /** The picture behind a panel, moved and scaled to the visible part of the axis. */
  heat(plot, grid, [from, to]) {
    const { ctx, bbox } = plot, left = plot.valToPos(from, 'x', true), right = plot.valToPos(to, 'x', true),
      top = plot.valToPos(grid.to_hz, 'y', true), bottom = plot.valToPos(0, 'y', true);
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    ctx.imageSmoothingEnabled = false;
    ctx.drawImage(grid.picture, left, top, right - left, bottom - top);
    ctx.restore();
  }

  hover(plot) {
    const { ctx, bbox } = plot;
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top - 8, bbox.width, bbox.height + 8);
    ctx.clip();
    ctx.fillStyle = css('--data');
    for (const [from, to] of this.data.hover) {
      const left = plot.valToPos(from, 'x', true), right = plot.valToPos(to, 'x', true);
      ctx.fillRect(left, bbox.top - 6, right - left, 5);
    }
    ctx.restore();
  }

  onsets(plot) {
    const { ctx, bbox } = plot;
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    ctx.font = `${13 * devicePixelRatio}px Inter, sans-serif`;
    for (const onset of this.data.onsets) {
      const at = plot.valToPos(onset.s, 'x', true);
      ctx.strokeStyle = ctx.fillStyle = '#fff';
      ctx.lineWidth = devicePixelRatio;
      ctx.setLineDash([5, 4]);
      ctx.beginPath();
      ctx.moveTo(at, bbox.top);
      ctx.lineTo(at, bbox.top + bbox.height);
      ctx.stroke();
      ctx.fillText(onset.name, at + 5, bbox.top + 16 * devicePixelRatio);
    }
    ctx.restore();
  }

  temperatures(title, series, data, x) {
    const [low, high] = data.range_c;
    return [{
      heading: title,
      height: 170,
      cursor: this.cursor(),
      padding: [6, RIGHT, 0, 0],
      scales: { x: { time: false, min: x[0], max: x[1], auto: false, range: (u, a, b) => [a, b] }, y: { auto: false, range: () => [low, high] } },
      axes: [axis({ size: 24, values: seconds }), axis({ size: 52 })],
      series: [{}, ...series.map(s => ({ label: s.id, stroke: () => css('--ink'), width: 1.2, points: { show: false }, spanGaps: true }))],
      hooks: this.hooks({ draw: [plot => { this.hover(plot); this.names(plot, series); }] }),
    }, joined(series)];
  }

  /** Names at the right end, moved apart where they would overlap. */
  names(plot, series) {
    const { ctx, bbox } = plot, pixel = devicePixelRatio, high = 14 * pixel;
    const ends = series.map(s => ({ text: s.id, y: plot.valToPos(s.v[near(s.t, plot.scales.x.max)], 'y', true) })).sort((a, b) => a.y - b.y);
    for (let i = 1; i < ends.length; i++) { ends[i].y = Math.max(ends[i].y, ends[i - 1].y + high); }
    for (let i = ends.length - 1; i >= 0; i--) { ends[i].y = Math.min(ends[i].y, i === ends.length - 1 ? bbox.top + bbox.height : ends[i + 1].y - high); }
    ctx.save();
    ctx.fillStyle = css('--ink');
    ctx.font = `${12.5 * pixel}px Inter, sans-serif`;
    ctx.textBaseline = 'middle';
    ctx.textAlign = 'left';
    for (const end of ends) { ctx.fillText(end.text, bbox.left + bbox.width + 6 * pixel, end.y); }
    ctx.restore();
  }

  speedMap(data) {
    const grid = data.speed_map;
    return [{
      heading: 'Frequency, Hz, against the mean speed of the rotors, rpm: what climbs is made by rotors, what stays is not.',
      height: 240,
      cursor: { drag: { x: false, y: false }, points: { show: false } },
      scales: { x: { time: false, auto: false, range: () => [grid.from_rpm, grid.to_rpm] }, y: { auto: false, range: () => [0, data.to_hz] } },
      padding: [6, RIGHT, 0, 0],
      axes: [axis({ size: 24, grid: { show: false }, values: (plot, splits) => splits.map(v => v.toFixed(0)) }), axis({ size: 52, grid: { show: false } })],
      series: [{}, { show: false }],
      hooks: {
        drawClear: [plot => this.heat(plot, grid, [grid.from_rpm, grid.to_rpm])],
        setCursor: [plot => {
          if (!plot.cursor.event || plot.cursor.left < 0) { return; }
          const rpm = plot.posToVal(plot.cursor.left, 'x'), hz = plot.posToVal(plot.cursor.top, 'y');
          this.readout.textContent = `${rpm.toFixed(0)} rpm, ${hz.toFixed(0)} Hz (${(60 * hz / rpm).toFixed(2)} times the speed)${this.decibels(grid, (rpm - grid.from_rpm) / (grid.to_rpm - grid.from_rpm), hz)}`;
        }],
      },
    }, [[grid.from_rpm, grid.to_rpm], [null, null]]];
  }

  decibels(grid, place, hz) {
    const column = Math.floor(place * grid.columns), row = Math.floor(hz / grid.to_hz * grid.rows);
    const db = column >= 0 && column < grid.columns && row >= 0 && row < grid.rows ? level(grid, column, row) : null;
    return db === null ? '' : `, ${db.toFixed(1).replace('-', '−')} dB re 1 (m/s²)²/Hz`;
  }

  read(plot) {
    if (plot.cursor.left < 0) { return; }
    const hz = plot === this.plots[0] && this.data.spectrogram ? plot.posToVal(plot.cursor.top, 'y') : null;
    this.readout.textContent = this.line(plot.posToVal(plot.cursor.left, 'x'), hz);
  }

  /** The values at a time, and the level at a frequency unless that is null. */
  line(t, hz) {
    const { data } = this, grid = data.spectrogram, parts = [`${t.toFixed(1)} s`];
    if (hz !== null) { parts.push(`${hz.toFixed(0)} Hz${this.decibels(grid, (t - grid.from_s) / (grid.to_s - grid.from_s), hz)}`); }
    const values = (name, series, unit, digits) => {
      if (series.length > 0) { parts.push(`${name} ${series.map(s => `${s.id} ${s.v[near(s.t, t)].toFixed(digits)}`).join(', ')} ${unit}`); }
    };
    values('rotors', data.speeds, 'Hz', 1);
    values('motors', data.motors, '°C', 0);
    values('ESCs', data.escs, '°C', 0);
    return parts.join('; ');
  }

  /** Keeps room for the values, so that the view does not move when they appear. */
  reserve() {
    const { readout, data } = this;
    readout.style.minHeight = '';
    readout.textContent = this.line((this.whole[0] + this.whole[1]) / 2, data.spectrogram ? data.to_hz / 2 : null);
    readout.style.minHeight = `${readout.offsetHeight}px`;
  }

  setZoom(range) {
    const [from, to] = range ?? this.whole, seconds = Math.max(0.5, Math.min(to - from, this.whole[1] - this.whole[0]));
    const start = Math.max(this.whole[0], Math.min(from, this.whole[1] - seconds));
    this.zoom = range === null ? null : [start, start + seconds];
    for (const plot of this.plots) {
      if (plot.cursor.drag.x) { plot.setScale('x', { min: start, max: start + seconds }); }
    }
    this.host.setAttribute('data-zoom', `${start.toFixed(1)} ${(start + seconds).toFixed(1)}`);
  }

  /** Zooms about the middle, or moves by a share of the visible part. */
  step(by, move) {
    const [from, to] = this.zoom ?? this.whole, middle = (from + to) / 2 + move * (to - from), half = (to - from) / 2 * by;
    this.setZoom([middle - half, middle + half]);
  }

  dispose() {
    this.clear();
    this.resize.disconnect();
    this.scheme.removeEventListener('change', this.repaint);
  }
}

/** Shows a flight in the host; the view is made at the first call. */
export async function show(host, server, flight, stamp, narrows) {
  let view = views.get(host);
  if (!view) {
    view = new TimeView(host, server);
    views.set(host, view);
  }
  await view.show(flight, stamp, narrows);
}

export const step = (host, by, move) => views.get(host)?.step(by, move);
export const whole = host => views.get(host)?.setZoom(null);
export const drag = (host, narrows) => { const view = views.get(host); if (view) { view.narrows = narrows; } };
export function dispose(host) {
  views.get(host)?.dispose();
  views.delete(host);
}

// One key switches between before and after, wherever the focus is, except where text is typed.
addEventListener('keydown', e => {
  if (e.key === 'b' && !e.ctrlKey && !e.metaKey && !e.altKey && !e.target.closest?.('input, textarea, select')) { document.querySelector('[data-switch]')?.click(); }
});
