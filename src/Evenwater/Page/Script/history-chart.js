// One chart: the lines of one unit, drawn by the chart library in the place of the server's drawing.
import { ends, isSwitch, level, shared, tick, wall } from './history-data.js';

/** The library, as a script of this page's own origin. */
export function load(address) {
  return new Promise((done, failed) => {
    const script = document.createElement('script');
    script.src = address;
    script.onload = () => done(window.uPlot);
    script.onerror = () => failed(new Error('the chart library can not be loaded'));
    document.head.append(script);
  });
}

export class Chart {
  #library; #figure; #place; #plot; #data; #on;

  /** @param on  what is to be told: selected(from, to), cursor(index), view() */
  constructor(library, figure, on) {
    this.#library = library;
    this.#figure = figure;
    this.#on = on;
    this.unit = figure.dataset.unit;
    this.#place = document.createElement('div');
    this.#place.className = 'live';
    this.#place.tabIndex = 0;
    this.#place.setAttribute('role', 'application');
    this.#place.setAttribute('aria-label', `Chart in ${this.unit}`);
    this.#place.setAttribute('aria-describedby', 'charts-how');
    figure.append(this.#place);
    new ResizeObserver(() => this.#fit()).observe(this.#place);
  }

  get place() { return this.#place; }

  /** How far into the axis of time a point of the window lies: 0 to 1 within it, and on beyond its ends. */
  share(clientX) {
    const over = this.#plot.over.getBoundingClientRect();
    return (clientX - over.left) / over.width;
  }

  draw(data) {
    this.#data = data;
    this.#lines = data.lines.filter(line => line.unit === this.unit);
    const table = [data.times, ...this.#lines.flatMap(line => [line.max, line.mean, line.min])];
    if (this.#plot) this.#plot.setData(table, false);
    else this.#plot = new this.#library(this.#options(), table, this.#place);
    this.show();
    this.#figure.querySelector('.drawn').hidden = true;
  }

  /** Anew, since the colours are others now. */
  redraw() {
    this.#plot?.destroy();
    this.#plot = null;
    if (this.#data) this.draw(this.#data);
  }

  show() {
    const view = this.#on.view();
    this.#plot?.setScale('x', { min: view.from / 1000, max: view.to / 1000 });
  }

  /** Puts the cursor onto a stretch. */
  point(index) {
    this.#plot?.setCursor({ left: this.#plot.valToPos(this.#data.times[index], 'x'), top: 10 }, false);
  }

  #lines = [];

  #fit() {
    const width = this.#place.clientWidth;
    if (this.#plot && width > 0 && width !== this.#plot.width) this.#plot.setSize({ width, height: this.#height(width) });
  }

  #height(width) { return width < 600 ? 200 : 230; }

  // Colours and dashes are those of the key above the chart, so that the style sheet alone tells them.
  #look(place) {
    const style = getComputedStyle(this.#figure.querySelectorAll('.sample line')[place]);
    const dash = style.strokeDasharray === 'none' ? [] : style.strokeDasharray.split(/[ ,]+/).map(parseFloat);
    return { stroke: style.stroke, dash, width: parseFloat(style.strokeWidth) };
  }

  #options() {
    const ink = getComputedStyle(document.body).color;
    const rule = getComputedStyle(document.querySelector('footer')).borderTopColor;
    const width = this.#place.clientWidth || 320;
    const font = '12px system-ui, "Liberation Sans", sans-serif';
    const axis = { stroke: ink, font, grid: { stroke: rule, width: 1 }, ticks: { stroke: rule, width: 1, size: 4 } };
    const series = [{}];
    const bands = [];
    this.#lines.forEach((line, i) => {
      const look = this.#look(i);
      const edge = { stroke: 'transparent', width: 0, points: { show: false } };
      series.push(edge, { label: line.label, stroke: look.stroke, width: look.width, dash: look.dash, points: { show: false } }, { ...edge });
      bands.push({ series: [3 * i + 1, 3 * i + 3], fill: look.stroke.replace(/^rgb\((.*)\)$/, `rgba($1, ${line.compared ? 0.08 : 0.2})`) });
    });
    return {
      width, height: this.#height(width), series, bands, legend: { show: false }, pxAlign: 0,
      // The library reads local fields: the browser's own place is taken out, and the station's put in.
      tzDate: seconds => {
        const there = wall(seconds * 1000, this.#data.zone);
        return new Date(there.getTime() + there.getTimezoneOffset() * 60000);
      },
      scales: {
        x: { time: true, auto: false },
        y: { range: (_, low, high) => ends(this.unit, low, high) },
      },
      axes: [
        { ...axis, space: 70, values: (_, splits, __, ___, apart) => splits.map(at => tick(at, apart, this.#data.zone)) },
        { ...axis, size: 52, space: 34, values: (_, splits) => splits.map(level), ...(isSwitch(this.unit) ? { splits: () => [0, 1] } : {}) },
      ],
      cursor: { y: false, points: { show: false }, drag: { x: true, y: false, setScale: false }, bind: { dblclick: () => null } },
      hooks: {
        setCursor: [plot => { if (plot.cursor.event) this.#on.cursor(plot.cursor.idx); }],
        setSelect: [plot => this.#selected(plot)],
        drawAxes: [plot => this.#marks(plot, ink, font)],
      },
    };
  }

  #selected(plot) {
    const { left, width } = plot.select;
    if (width < 4) return;
    plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false);
    this.#on.selected(plot.posToVal(left, 'x') * 1000, plot.posToVal(left + width, 'x') * 1000);
  }

  // What happened meanwhile: the numbers of the list below.
  #marks(plot, ink, font) {
    const { ctx, bbox } = plot;
    ctx.save();
    ctx.strokeStyle = ctx.fillStyle = ink;
    ctx.lineWidth = devicePixelRatio;
    ctx.font = font.replace('12px', `${11 * devicePixelRatio}px`);
    ctx.textAlign = 'center';
    const shown = this.#on.marks().map(mark => ({ number: mark.number, x: plot.valToPos(mark.at / 1000, 'x', true) }))
      .filter(({ x }) => x >= bbox.left && x <= bbox.left + bbox.width);
    for (const { x } of shown) {
      ctx.setLineDash([devicePixelRatio, 3 * devicePixelRatio]);
      ctx.beginPath();
      ctx.moveTo(x, bbox.top);
      ctx.lineTo(x, bbox.top + bbox.height);
      ctx.stroke();
    }
    const half = words => (ctx.measureText(words).width / 2) + 2 * devicePixelRatio;
    for (const { x, words } of shared(shown, 26 * devicePixelRatio, half, bbox.left, bbox.left + bbox.width)) ctx.fillText(words, x, bbox.top - 3 * devicePixelRatio);
    ctx.restore();
  }
}
