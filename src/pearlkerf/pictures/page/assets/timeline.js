// The time line: one mark for each cut, as long as it takes, with its name where there is room.

export class TimeLine {
  constructor(canvas, slider) {
    Object.assign(this, { canvas, slider });
    this.context = canvas.getContext("2d");
  }

  take(track) {
    this.track = track;
    this.slider.max = String(track.total);
    this.draw();
  }

  draw() {
    if (!this.track) return;
    const { width, height } = this.canvas.getBoundingClientRect();
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    this.canvas.width = Math.round(width * ratio);
    this.canvas.height = Math.round(height * ratio);
    this.width = width;
    const ctx = this.context;
    const style = getComputedStyle(document.documentElement);
    const colour = (name) => style.getPropertyValue(name).trim();
    ctx.setTransform(ratio, 0, 0, ratio, 0, 0);
    ctx.clearRect(0, 0, width, height);
    ctx.font = "11px system-ui, sans-serif";
    ctx.textBaseline = "middle";
    let free = 0;
    this.track.cuts.forEach((cut, number) => {
      const [from, to] = [cut.first, cut.last + 1].map((row) => this.x(this.track.starts[row]));
      ctx.fillStyle = colour(number % 2 ? "--mark-odd" : "--mark-even");
      ctx.fillRect(from, height - 9, Math.max(1, to - from - 1), 9);
      const name = cut.name.split(",")[0];
      const room = ctx.measureText(name).width;
      if (from < free || from + room > width) return;
      ctx.fillStyle = colour("--ink-soft");
      ctx.fillRect(from, height - 14, 1, 5);
      ctx.fillText(name, from, height - 20);
      free = from + room + 12;
    });
  }

  x(time) {
    return this.track.total > 0 ? (time / this.track.total) * this.width : 0;
  }

  time(x) {
    return Math.min(this.track.total, Math.max(0, (x / this.width) * this.track.total));
  }
}

export const clock = (seconds) => {
  const whole = Math.round(seconds);
  const two = (value) => String(value).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
};
