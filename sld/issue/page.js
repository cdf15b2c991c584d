"use strict";
// The page of an issued set. It holds no text of the site: all of that is read from the document.
(() => {
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const one = (selector, within = document) => within.querySelector(selector);
  const make = (tag, props = {}, ...inner) => {
    const element = Object.assign(document.createElement(tag), props);
    element.append(...inner);
    return element;
  };
  const SVG = "http://www.w3.org/2000/svg";
  const root = document.documentElement;
  root.classList.add("on");

  // ---- what bears which id ----
  const rows = new Map(), drawn = new Map(), about = new Map(), whole_of = new Map();
  const add = (map, id, element) => map.has(id) ? map.get(id).push(element) : map.set(id, [element]);
  for (const row of all("tr[data-ids]")) for (const id of row.dataset.ids.split(" ")) if (id) add(rows, id, row);
  for (const group of all("svg [data-id]")) add(drawn, group.dataset.id, group);
  for (const row of all("#list-index tbody tr")) about.set(row.dataset.ids.split(" ")[0], [...row.cells].slice(1, 3).map(cell => cell.textContent).filter(Boolean).join(", "));
  for (const row of all("#list-index tbody tr")) whole_of.set(row.dataset.ids.split(" ")[0], row.dataset.ids.split(" "));
  const ids = [...new Set([...drawn.keys(), ...rows.keys()])];

  // ---- tabs ----
  const panel_of = element => element.closest(".panel");
  const name_of = panel => panel.dataset.name;
  const strips = all(".tabs");
  const tab_of = new Map();
  for (const strip of strips) {
    const panels = all(":scope > .panel", strip.closest("section"));
    for (const panel of panels) {
      const sheet = panel.dataset.sheet;  // of a diagram on several sheets; the further ones are called by their number alone
      const tab = make("button", { type: "button", textContent: sheet > 1 ? sheet : name_of(panel), className: sheet > 1 ? "more" : "" });
      tab.setAttribute("role", "tab");
      tab.setAttribute("aria-label", name_of(panel));
      tab.setAttribute("aria-controls", panel.id);
      panel.setAttribute("role", "tabpanel");
      panel.setAttribute("aria-label", name_of(panel));
      tab.addEventListener("click", () => show(panel));
      tab_of.set(panel, tab);
      strip.append(tab);
    }
    strip.addEventListener("keydown", event => {
      const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      const at = panels.findIndex(panel => tab_of.get(panel) === document.activeElement);
      if (!step || at < 0) return;
      const next = panels[(at + step + panels.length) % panels.length];
      show(next);
      tab_of.get(next).focus();
      event.preventDefault();
    });
    for (const panel of panels.slice(1)) panel.hidden = true;  // at once, so that nothing below measures them
    if (panels.length) queueMicrotask(() => show(panels[0]));
  }
  function show(panel) {
    for (const other of all(":scope > .panel", panel.parentElement)) {
      other.hidden = other !== panel;
      tab_of.get(other).setAttribute("aria-selected", String(other === panel));
      tab_of.get(other).tabIndex = other === panel ? 0 : -1;
    }
    const tab = tab_of.get(panel), strip = tab.parentElement;  // on a narrow screen the strip scrolls
    if (tab.offsetLeft < strip.scrollLeft || tab.offsetLeft + tab.offsetWidth > strip.scrollLeft + strip.clientWidth) strip.scrollLeft = tab.offsetLeft - 30;
    const svg = one("svg", panel);
    if (svg) reachable(svg);
  }

  // ---- one half alone: a drawing that fills the window, a list with many rows in sight ----
  const halves = { drawings: one("#drawing-alone"), lists: one("#list-alone") };
  function alone(half) {
    for (const [name, button] of Object.entries(halves)) {
      root.classList.toggle(`only-${name}`, name === half);
      button.setAttribute("aria-pressed", String(name === half));
    }
  }
  const is_alone = half => root.classList.contains(`only-${half}`);
  for (const [name, button] of Object.entries(halves)) button.addEventListener("click", () => {
    alone(is_alone(name) ? "" : name);
    one("main").scrollIntoView({ block: "start" });
  });
  alone("");
  function show_beside(panel) {
    const other = panel.closest("#lists") ? "drawings" : "lists";
    if (is_alone(other)) alone("");
    show(panel);
  }

  // ---- pan and zoom ----
  const whole = new Map();
  const box_of = svg => svg.viewBox.baseVal;
  const set_box = (svg, x, y, width, height) => svg.setAttribute("viewBox", [x, y, width, height].map(v => v.toFixed(3)).join(" "));
  const reset = svg => set_box(svg, ...whole.get(svg));
  function across(svg) {
    const [x, y, width] = whole.get(svg), { clientWidth, clientHeight } = svg.parentElement;
    set_box(svg, x, y, width, width * clientHeight / clientWidth);
  }
  function scale_of(svg) { return svg.getScreenCTM().a; }
  function point_of(svg, x, y) { return new DOMPoint(x, y).matrixTransform(svg.getScreenCTM().inverse()); }
  function zoom(svg, factor, at) {
    const box = box_of(svg), full = whole.get(svg);
    const by = Math.min(Math.max(factor, full[2] / 60 / box.width), full[2] * 2 / box.width);
    const { x, y } = at || { x: box.x + box.width / 2, y: box.y + box.height / 2 };
    set_box(svg, x - (x - box.x) * by, y - (y - box.y) * by, box.width * by, box.height * by);
  }
  function pan(svg, dx, dy) {
    const box = box_of(svg), full = whole.get(svg);
    const within = (value, low, high) => Math.min(Math.max(value, low), high);
    set_box(svg, within(box.x + dx, full[0] - box.width * .9, full[0] + full[2] - box.width * .1),
      within(box.y + dy, full[1] - box.height * .9, full[1] + full[3] - box.height * .1), box.width, box.height);
  }
  function bring(svg, group) {
    const inner = group.getBBox(), full = whole.get(svg);
    const width = Math.min(full[2], Math.max(full[2] / 4, inner.width * 1.6, inner.height * 1.6 * full[2] / full[3]));
    const height = width * full[3] / full[2];
    // what is seen beside the box, where the window is wider or higher than it, is sheet rather than air
    const { clientWidth, clientHeight } = svg.parentElement, seen = [Math.max(width, height * clientWidth / clientHeight), Math.max(height, width * clientHeight / clientWidth)];
    const middle = (at, low, size, view, box) => {
      const inside = view < size ? Math.min(Math.max(at, low + view / 2), low + size - view / 2) : low + size / 2;
      return Math.min(Math.max(inside, at - box * .3), at + box * .3);
    };
    set_box(svg, middle(inner.x + inner.width / 2, full[0], full[2], seen[0], width) - width / 2,
      middle(inner.y + inner.height / 2, full[1], full[3], seen[1], height) - height / 2, width, height);
  }
  for (const view of all(".view")) {
    const svg = one("svg", view), fingers = new Map();
    const { x, y, width, height } = box_of(svg);
    whole.set(svg, [x, y, width, height]);
    let moved = 0;
    view.addEventListener("wheel", event => {
      event.preventDefault();
      zoom(svg, Math.exp(Math.sign(event.deltaY) * Math.min(Math.abs(event.deltaY), 100) / 500), point_of(svg, event.clientX, event.clientY));
    }, { passive: false });
    view.addEventListener("pointerdown", event => {
      if (event.button) return;
      if (!fingers.size) moved = 0;
      fingers.set(event.pointerId, event);
    });
    view.addEventListener("pointermove", event => {
      const was = fingers.get(event.pointerId);
      if (!was) return;
      const others = [...fingers.values()].filter(finger => finger.pointerId !== event.pointerId);
      const scale = scale_of(svg);
      moved += Math.abs(event.clientX - was.clientX) + Math.abs(event.clientY - was.clientY);
      if (moved > 4 && !view.hasPointerCapture(event.pointerId)) { view.setPointerCapture(event.pointerId); view.classList.add("drags"); }
      if (others.length) {
        const reach = finger => Math.hypot(finger.clientX - others[0].clientX, finger.clientY - others[0].clientY) || 1;
        zoom(svg, reach(was) / reach(event), point_of(svg, others[0].clientX, others[0].clientY));
      } else pan(svg, (was.clientX - event.clientX) / scale, (was.clientY - event.clientY) / scale);
      fingers.set(event.pointerId, event);
    });
    const lift = event => { fingers.delete(event.pointerId); if (!fingers.size) view.classList.remove("drags"); };
    view.addEventListener("pointerup", lift);
    view.addEventListener("pointercancel", lift);
    view.addEventListener("keydown", event => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      const step = box_of(svg).width / 10;
      const act = { "+": () => zoom(svg, 1 / 1.25), "=": () => zoom(svg, 1 / 1.25), "-": () => zoom(svg, 1.25), "0": () => reset(svg) }[event.key]
        || (event.target === view && { ArrowLeft: () => pan(svg, -step, 0), ArrowRight: () => pan(svg, step, 0), ArrowUp: () => pan(svg, 0, -step), ArrowDown: () => pan(svg, 0, step) }[event.key]);
      if (act) { act(); event.preventDefault(); }
    });
    svg.addEventListener("pointerover", event => { const group = event.target.closest("[data-id]"); if (group && !stands(event)) light([group.dataset.id], "drawing"); });
    svg.addEventListener("pointerout", event => { if (!event.relatedTarget || !event.relatedTarget.closest("[data-id]")) rest(); });
    svg.addEventListener("click", event => {
      if (moved > 4) return;
      const group = event.target.closest("[data-id]") || (event.pointerType !== "mouse" && near(svg, event.clientX, event.clientY));
      group ? pin([group.dataset.id], "drawing") : unpin();
    });
    svg.addEventListener("dblclick", event => zoom(svg, 1 / 2, point_of(svg, event.clientX, event.clientY)));
  }
  // where a drawing or a row comes under a pointer that stands still, nobody points at it
  let pointer = {};
  const stands = event => event.clientX === pointer.clientX && event.clientY === pointer.clientY;
  for (const kind of ["pointermove", "pointerdown"]) addEventListener(kind, event => { pointer = event; }, { passive: true });
  // a finger covers some 20 pixels, a wire on a small screen one or two
  function near(svg, x, y) {
    for (const reach of [5, 10]) for (let turn = 0; turn < 8; turn++) {
      const there = document.elementFromPoint(x + reach * Math.cos(turn * Math.PI / 4), y + reach * Math.sin(turn * Math.PI / 4));
      const group = there && svg.contains(there) && there.closest("[data-id]");
      if (group) return group;
    }
    return null;
  }
  const shown_svg = () => one("#drawings .panel:not([hidden]) svg");
  one("#zoom-in").addEventListener("click", () => zoom(shown_svg(), 1 / 1.25));
  one("#zoom-out").addEventListener("click", () => zoom(shown_svg(), 1.25));
  one("#zoom-all").addEventListener("click", () => reset(shown_svg()));
  one("#zoom-across").addEventListener("click", () => across(shown_svg()));
  const notes = all("details");
  for (const note of notes) note.open = false;  // without this script they are all open
  let kept = [];
  addEventListener("beforeprint", () => { for (const note of notes) note.open = true; kept = [...whole.keys()].map(svg => [svg, svg.getAttribute("viewBox")]); for (const svg of whole.keys()) reset(svg); });
  addEventListener("afterprint", () => { for (const [svg, box] of kept) svg.setAttribute("viewBox", box); });

  // ---- objects of a drawing, for pointer and keyboard; once a drawing is shown, because only then it has measures ----
  const done = new Set();
  function reachable(svg) {
    if (done.has(svg)) return;
    done.add(svg);
    for (const wire of all(".wire", svg)) {
      const line = one("polyline", wire).cloneNode();
      line.removeAttribute("stroke-dasharray");
      line.classList.add("hit");
      wire.append(line);
    }
    // all are measured before the first is changed: otherwise each would be laid out anew
    for (const [group, { x, y, width, height }] of all(".symbol, .label", svg).map(group => [group, group.getBBox()])) {
      const air = group.classList.contains("symbol") ? 1 : 0;
      const rect = document.createElementNS(SVG, "rect");
      for (const [name, value] of Object.entries({ x: x - air, y: y - air, width: width + 2 * air, height: height + 2 * air, class: "hit" })) rect.setAttribute(name, value);
      group.append(rect);
    }
    const symbols = all(".symbol", svg);
    const rove = at => { symbols.forEach((symbol, place) => symbol.setAttribute("tabindex", place === at ? 0 : -1)); };
    rove(0);
    symbols.forEach((symbol, place) => {
      symbol.setAttribute("role", "button");
      symbol.setAttribute("aria-label", `${symbol.dataset.id} ${about.get(symbol.dataset.id) || ""}`);
      symbol.addEventListener("focus", () => {
        rove(place);
        if (symbol.matches(":focus-visible")) { light([symbol.dataset.id], "drawing"); in_view(svg, symbol); }
      });
      symbol.addEventListener("blur", rest);
      symbol.addEventListener("keydown", event => {
        const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
        if (step) symbols[(place + step + symbols.length) % symbols.length].focus();
        else if (event.key === "Enter" || event.key === " ") pin([symbol.dataset.id], "drawing");
        else return;
        event.preventDefault();
      });
    });
  }
  function in_view(svg, group) {
    const box = box_of(svg), inner = group.getBBox();
    if (inner.x < box.x || inner.y < box.y || inner.x + inner.width > box.x + box.width || inner.y + inner.height > box.y + box.height)
      set_box(svg, inner.x + inner.width / 2 - box.width / 2, inner.y + inner.height / 2 - box.height / 2, box.width, box.height);
  }

  // ---- lighting: pointing lights, clicking keeps it lit and goes there ----
  let lit = [], pinned = null;
  function light(wanted, from) {
    for (const element of lit) element.classList.remove("lit");
    lit = wanted.flatMap(id => [...(drawn.get(id) || []), ...(rows.get(id) || [])]);
    for (const element of lit) element.classList.add("lit");
    if (from === "drawing") {
      const row = lit.find(element => element.tagName === "TR" && !panel_of(element).hidden && !element.hidden);
      if (row) reveal(row);
    }
    tell(wanted);
  }
  function rest() { if (pinned) light(pinned); else { light([]); } }
  function unpin() { pinned = null; rest(); link(""); }
  function pin(wanted, from) {
    pinned = wanted;
    light(wanted, from);
    link(wanted[0]);
    if (from !== "drawing") go_to_drawing(wanted);
    if (from !== "list") go_to_row(wanted);
  }
  // the address names what is lit, so that a link to the page can lead to it; a browser that forbids it on a page from disk may do so
  function link(id) {
    try { history.replaceState(null, "", id ? `#${encodeURIComponent(id)}` : location.href.split("#")[0]); } catch { return; }
  }
  function follow() {
    let asked = location.hash.slice(1);
    try { asked = decodeURIComponent(asked); } catch { return; }
    if (!asked) return;
    const low = asked.toLowerCase(), id = ids.find(known => known.toLowerCase() === low), panel = document.getElementById(asked);
    if (id !== undefined) choose(id);
    else if (panel && tab_of.has(panel)) show_beside(panel);
    else { told = ""; one("#said").replaceChildren(`nothing in this set has the id ${asked}`); }
  }
  addEventListener("hashchange", follow);
  function go_to_drawing(wanted) {
    const groups = wanted.flatMap(id => drawn.get(id) || []);
    const group = groups.find(element => !panel_of(element).hidden && element.matches(".symbol")) || groups.find(element => !panel_of(element).hidden)
      || groups.find(element => element.matches(".symbol")) || groups[0];
    if (!group) return;
    if (is_alone("lists")) alone("");
    show(panel_of(group));
    bring(group.ownerSVGElement, group);
  }
  function go_to_row(wanted) {
    const found = wanted.flatMap(id => rows.get(id) || []);
    const row = found.find(element => !panel_of(element).hidden && !element.hidden) || found.find(element => !panel_of(element).hidden)
      || found.find(element => !element.hidden) || found[0];
    if (!row) return;
    show(panel_of(row));
    reveal(row);
  }
  // scrolls the list alone: the drawing must not move away under the pointer
  function reveal(row) {
    listing.get(panel_of(row)).include(row);
    const panel = panel_of(row), head = one("thead", panel).offsetHeight;
    const { top } = panel.getBoundingClientRect(), inner = row.getBoundingClientRect();
    const outer = { top, bottom: Math.min(top + panel.clientHeight, innerHeight) };  // without the scroll bar
    if (inner.top < outer.top + head) panel.scrollTop -= outer.top + head - inner.top;
    else if (inner.bottom > outer.bottom) panel.scrollTop += inner.bottom - outer.bottom;
  }
  let told = "";
  function tell(wanted) {
    const said = one("#said");
    if (told === wanted.join(" ")) return;
    told = wanted.join(" ");
    said.replaceChildren();
    if (!wanted.length) return;
    const id = wanted[0];
    said.append(make("b", { textContent: id }), ` ${about.get(id) || ""} `);
    const here = [...wanted.flatMap(other => drawn.get(other) || []), ...(rows.get(id) || [])], places = new Set(here.map(panel_of));
    for (const panel of tab_of.keys()) if (places.has(panel) && panel.id !== "list-index") {
      const button = make("button", { type: "button", textContent: name_of(panel) });
      button.addEventListener("click", () => {
        show_beside(panel);
        const there = here.find(element => panel_of(element) === panel);
        there.ownerSVGElement ? bring(there.ownerSVGElement, there) : reveal(there);
      });
      said.append(button);
    }
    if (!wanted.some(other => drawn.has(other))) said.append(" not drawn");
  }
  addEventListener("keydown", event => {
    if (event.key === "Escape") { close(); unpin(); }
    if (event.key === "/" && !/^(INPUT|TEXTAREA)$/.test(document.activeElement.tagName)) { one("#search").focus(); event.preventDefault(); }
  });

  // ---- lists: point, sort, filter ----
  const ids_of = row => row.dataset.ids.split(" ").filter(Boolean);
  const order = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
  const CELLS = 1600, MARGIN = 400;
  // Of a long list only some rows are laid out, more of them as it is scrolled: to lay out a thousand would take longer than a reader waits.
  function excerpt(panel, table, listed) {
    const STEP = Math.max(30, Math.round(CELLS / table.tHead.rows[0].cells.length));
    let seen = listed, from = 0, to = 0;
    const body = table.tBodies[0];
    const lay_out = (first, last) => {
      for (const row of seen.slice(from, to)) row.classList.add("later");
      [from, to] = [Math.max(0, first), Math.min(seen.length, last)];
      for (let place = from; place < to; place++) { seen[place].classList.remove("later"); seen[place].setAttribute("aria-rowindex", place + 2); }
    };
    // keeps a row where it is on the screen while others come in above it
    const more_above = () => {
      const row = seen[from], before = row.getBoundingClientRect().top;
      lay_out(from - STEP, to);
      panel.scrollTop += row.getBoundingClientRect().top - before;
    };
    const more = () => {
      if (!panel.clientHeight) return;
      while (to < seen.length && panel.scrollTop + panel.clientHeight > panel.scrollHeight - MARGIN) lay_out(from, to + STEP);
      if (from && panel.scrollTop < MARGIN) more_above();
    };
    panel.addEventListener("scroll", more, { passive: true });
    new ResizeObserver(more).observe(panel);
    for (const row of listed) row.classList.add("later");
    return {
      rows: () => seen,
      long: listed.length > STEP,
      set(wanted) {
        lay_out(0, 0);
        seen = wanted;
        table.setAttribute("aria-rowcount", seen.length + 1);
        lay_out(0, STEP);
        if (panel.hidden) return;  // it has no measures now; ResizeObserver tells when it has
        panel.scrollTop = 0;
        more();
      },
      include(row) {
        if (row.hidden) { one(".filter", panel).value = ""; one(".filter", panel).dispatchEvent(new Event("input")); }
        const place = seen.indexOf(row);
        if (place >= to && place < to + STEP) lay_out(from, to + STEP);
        else if (place < from || place >= to) lay_out(place - (STEP >> 1), place + (STEP >> 1));
      },
    };
  }
  // a row that is never seen keeps the columns as wide as the longest text of the whole list needs them
  function keep_widths(table, listed) {
    const cells = [...listed[0].cells].map((_, column) => {
      const widest = listed.reduce((best, row) => row.cells[column].textContent.length > best.textContent.length ? row.cells[column] : best, listed[0].cells[column]);
      return make("td", { textContent: widest.textContent, className: widest.className });
    });
    const foot = make("tfoot", {}, make("tr", {}, ...cells));
    foot.setAttribute("aria-hidden", "true");
    table.append(foot);
  }
  const listing = new Map();
  for (const panel of all("#lists > .panel")) {
    const table = one("table", panel);
    if (!table) continue;
    const body = table.tBodies[0], listed = [...body.rows], part = excerpt(panel, table, listed);
    let ordered = listed;
    listing.set(panel, part);
    if (part.long) keep_widths(table, listed);
    let reached = null;
    const rove = row => { if (reached) reached.tabIndex = -1; reached = row; row.tabIndex = 0; };
    for (const row of listed) row.tabIndex = -1;
    body.addEventListener("pointerover", event => { const row = event.target.closest("tr[data-ids]"); if (row && !stands(event)) light(ids_of(row)); });
    body.addEventListener("pointerleave", rest);
    body.addEventListener("focusin", event => { const row = event.target.closest("tr[data-ids]"); if (row) { rove(row); light(ids_of(row)); } });
    body.addEventListener("focusout", rest);
    body.addEventListener("click", event => { const row = event.target.closest("tr[data-ids]"); if (row && !event.target.closest("a")) pin(ids_of(row), "list"); });
    body.addEventListener("keydown", event => {
      const row = event.target.closest("tr[data-ids]");
      if (!row) return;
      const seen = part.rows(), at = seen.indexOf(row), last = seen.length - 1;
      const place = { ArrowDown: at + 1, ArrowUp: at - 1, PageDown: Math.min(at + 10, last), PageUp: Math.max(at - 10, 0), Home: 0, End: last }[event.key];
      const next = seen[place];
      if (next) { reveal(next); next.focus({ preventScroll: true }); }
      else if (event.key === "Enter" || event.key === " ") pin(ids_of(row), "list");
      if (place !== undefined || event.key === "Enter" || event.key === " ") event.preventDefault();
    });
    // one stop for the tab key, as the rows are; arrows lead to the others
    const heads = table.tHead.rows[0];
    heads.addEventListener("keydown", event => {
      const at = event.target.closest("th")?.cellIndex, last = heads.cells.length - 1;
      const next = heads.cells[{ ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: last }[event.key]];
      if (!next) return;
      one("button", event.target.closest("th")).tabIndex = -1;
      one("button", next).tabIndex = 0;
      one("button", next).focus();
      event.preventDefault();
    });
    for (const head of heads.cells) {
      const button = make("button", { type: "button", title: "sort", tabIndex: head.cellIndex ? -1 : 0 }, ...head.childNodes);
      head.append(button);
      button.addEventListener("click", () => {
        ordered = sorted(table, listed, head);
        body.append(...ordered);
        part.set(ordered.filter(row => !row.hidden));
      });
    }
    const input = one(".filter", panel), count = one(".count", panel);
    let texts = null;
    const filter = () => {
      texts ||= new Map(listed.map(row => [row, [...row.cells].map(cell => cell.textContent).join("\n").toLocaleLowerCase("en")]));
      const words = input.value.toLocaleLowerCase("en").split(/\s+/).filter(Boolean);
      for (const row of listed) row.hidden = !words.every(word => texts.get(row).includes(word));
      fill();
    };
    const fill = () => {
      const seen = ordered.filter(row => !row.hidden);
      count.textContent = `${seen.length} of ${listed.length}`;
      part.set(seen);
      if (seen.length) rove(seen[0]);
    };
    input.addEventListener("input", filter);
    fill();
  }
  // numbers by their value, with what begins with one (7 to 8); then words (TBC), then blanks, in either direction
  function sorted(table, listed, head) {
    const next = { none: "ascending", ascending: "descending", descending: "none" }[head.getAttribute("aria-sort") || "none"];
    for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
    if (next === "none") return listed;
    head.setAttribute("aria-sort", next);
    const column = head.cellIndex, sign = next === "descending" ? -1 : 1;
    const numbers = listed.some(row => row.cells[column].classList.contains("n"));
    const keys = new Map(listed.map(row => {
      const text = row.cells[column].textContent, value = numbers ? parseFloat(text) : NaN;
      return [row, { text, value, kind: !text ? 2 : numbers && Number.isNaN(value) ? 1 : 0 }];
    }));
    return [...listed].sort((one_row, other_row) => {
      const [a, b] = [keys.get(one_row), keys.get(other_row)];
      return a.kind - b.kind || sign * (numbers && !a.kind && a.value - b.value || order.compare(a.text, b.text));
    });
  }

  // ---- search ----
  const search = one("#search"), found = one("#found"), MOST_FOUND = 30;
  let at = -1;
  function look() {
    const word = search.value.trim().toLocaleLowerCase("en");
    const words = word.split(/\s+/);
    const rank = id => {
      const low = id.toLocaleLowerCase("en"), text = `${low} ${(about.get(id) || "").toLocaleLowerCase("en")}`;
      return low === word ? 0 : low.startsWith(word) ? 1 : low.includes(word) ? 2 : words.every(part => text.includes(part)) ? 3 : 9;
    };
    const ranked = word ? ids.map(id => [rank(id), id]).filter(([r]) => r < 9).sort((a, b) => a[0] - b[0] || order.compare(a[1], b[1])) : [];
    const hits = ranked.slice(0, MOST_FOUND).map(([, id]) => id);
    found.replaceChildren(...hits.map((id, place) => {
      const item = make("li", { id: `found-${place}` }, make("b", { textContent: id }), about.get(id) || "");
      item.dataset.find = id;
      item.setAttribute("role", "option");
      item.addEventListener("pointerdown", event => { event.preventDefault(); choose(id); });
      return item;
    }));
    const rest_of = word && !hits.length ? "no id or name has this" : ranked.length > hits.length ? `and ${ranked.length - hits.length} more: type more of it` : "";
    if (rest_of) found.append(make("li", { textContent: rest_of, className: "none" }));
    for (const item of all(".none", found)) { item.setAttribute("role", "option"); item.setAttribute("aria-disabled", "true"); }
    found.hidden = !word;
    search.setAttribute("aria-expanded", String(Boolean(word)));
    mark(hits.length ? 0 : -1);
  }
  function mark(place) {
    at = place;
    all("[data-find]", found).forEach((item, number) => { item.setAttribute("aria-selected", String(number === place)); if (number === place) item.scrollIntoView({ block: "nearest" }); });
    place < 0 ? search.removeAttribute("aria-activedescendant") : search.setAttribute("aria-activedescendant", `found-${place}`);
  }
  function close() {
    found.hidden = true;
    search.setAttribute("aria-expanded", "false");
    search.removeAttribute("aria-activedescendant");
  }
  function choose(id) {
    close();
    search.value = id;
    one("main").scrollIntoView({ block: "start" });
    pin(whole_of.get(id) || [id]);
  }
  search.addEventListener("input", look);
  search.addEventListener("focus", () => search.select());
  search.addEventListener("blur", close);
  search.addEventListener("keydown", event => {
    const hits = all("[data-find]", found), step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step && hits.length) mark((at + step + hits.length) % hits.length);
    else if (event.key === "Enter" && at >= 0 && !found.hidden) choose(hits[at].dataset.find);
    else return;
    event.preventDefault();
  });
  queueMicrotask(follow);  // after the first panels are shown
})();
