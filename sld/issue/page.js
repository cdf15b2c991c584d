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

  // ---- pan and zoom ----
  const whole = new Map();
  const box_of = svg => svg.viewBox.baseVal;
  const set_box = (svg, x, y, width, height) => svg.setAttribute("viewBox", [x, y, width, height].map(v => v.toFixed(3)).join(" "));
  const reset = svg => set_box(svg, ...whole.get(svg));
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
    set_box(svg, inner.x + inner.width / 2 - width / 2, inner.y + inner.height / 2 - height / 2, width, height);
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
    svg.addEventListener("pointerover", event => { const group = event.target.closest("[data-id]"); if (group) light([group.dataset.id], "drawing"); });
    svg.addEventListener("pointerout", event => { if (!event.relatedTarget || !event.relatedTarget.closest("[data-id]")) rest(); });
    svg.addEventListener("click", event => {
      const group = event.target.closest("[data-id]");
      if (moved <= 4) group ? pin([group.dataset.id], "drawing") : unpin();
    });
  }
  const shown_svg = () => one("#drawings .panel:not([hidden]) svg");
  one("#zoom-in").addEventListener("click", () => zoom(shown_svg(), 1 / 1.25));
  one("#zoom-out").addEventListener("click", () => zoom(shown_svg(), 1.25));
  one("#zoom-all").addEventListener("click", () => reset(shown_svg()));
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
  function unpin() { pinned = null; rest(); }
  function pin(wanted, from) {
    pinned = wanted;
    light(wanted, from);
    if (from !== "drawing") go_to_drawing(wanted);
    if (from !== "list") go_to_row(wanted);
  }
  function go_to_drawing(wanted) {
    const groups = wanted.flatMap(id => drawn.get(id) || []);
    const group = groups.find(element => !panel_of(element).hidden && element.matches(".symbol")) || groups.find(element => !panel_of(element).hidden)
      || groups.find(element => element.matches(".symbol")) || groups[0];
    if (!group) return;
    show(panel_of(group));
    bring(group.ownerSVGElement, group);
  }
  function go_to_row(wanted) {
    const found = wanted.flatMap(id => rows.get(id) || []).filter(row => !row.hidden);
    const row = found.find(element => !panel_of(element).hidden) || found[0];
    if (!row) return;
    show(panel_of(row));
    reveal(row);
  }
  // scrolls the list alone: the drawing must not move away under the pointer
  function reveal(row) {
    const panel = panel_of(row), head = one("thead", panel).offsetHeight;
    const { top, bottom } = panel.getBoundingClientRect(), outer = { top, bottom: Math.min(bottom, innerHeight) }, inner = row.getBoundingClientRect();
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
    for (const panel of places) if (panel.id !== "list-index") {
      const button = make("button", { type: "button", textContent: name_of(panel) });
      button.addEventListener("click", () => {
        show(panel);
        const there = here.find(element => panel_of(element) === panel);
        there.ownerSVGElement ? bring(there.ownerSVGElement, there) : reveal(there);
      });
      said.append(button);
    }
    if (!wanted.some(other => drawn.has(other))) said.append(" not drawn");
  }
  addEventListener("keydown", event => {
    if (event.key === "Escape") { one("#found").hidden = true; unpin(); }
    if (event.key === "/" && !/^(INPUT|TEXTAREA)$/.test(document.activeElement.tagName)) { one("#search").focus(); event.preventDefault(); }
  });

  // ---- lists: point, sort, filter ----
  const ids_of = row => row.dataset.ids.split(" ").filter(Boolean);
  const order = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
  for (const panel of all("#lists > .panel")) {
    const table = one("table", panel);
    if (!table) continue;
    const body = table.tBodies[0], listed = [...body.rows];
    const rove = row => { for (const other of body.rows) other.tabIndex = other === row ? 0 : -1; };
    if (listed.length) rove(listed[0]);
    body.addEventListener("pointerover", event => { const row = event.target.closest("tr[data-ids]"); if (row) light(ids_of(row)); });
    body.addEventListener("pointerleave", rest);
    body.addEventListener("focusin", event => { const row = event.target.closest("tr[data-ids]"); if (row) { rove(row); light(ids_of(row)); } });
    body.addEventListener("focusout", rest);
    body.addEventListener("click", event => { const row = event.target.closest("tr[data-ids]"); if (row && !event.target.closest("a")) pin(ids_of(row), "list"); });
    body.addEventListener("keydown", event => {
      const row = event.target.closest("tr[data-ids]");
      if (!row) return;
      const seen = [...body.rows].filter(other => !other.hidden), step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      const next = step && seen[seen.indexOf(row) + step];
      if (next) next.focus();
      else if (event.key === "Enter" || event.key === " ") pin(ids_of(row), "list");
      if (step || event.key === "Enter" || event.key === " ") event.preventDefault();
    });
    for (const head of table.tHead.rows[0].cells) {
      const button = make("button", { type: "button", title: "sort" }, ...head.childNodes);
      head.append(button);
      button.addEventListener("click", () => sort(table, body, listed, head));
    }
    const input = one(".filter", panel), count = one(".count", panel);
    const filter = () => {
      const words = input.value.toLocaleLowerCase("en").split(/\s+/).filter(Boolean);
      for (const row of listed) {
        const text = [...row.cells].map(cell => cell.textContent).join("\n").toLocaleLowerCase("en");
        row.hidden = !words.every(word => text.includes(word));
      }
      const seen = listed.filter(row => !row.hidden);
      count.textContent = `${seen.length} of ${listed.length}`;
      if (seen.length) rove([...body.rows].find(row => !row.hidden));
    };
    input.addEventListener("input", filter);
    filter();
  }
  function sort(table, body, listed, head) {
    const next = { none: "ascending", ascending: "descending", descending: "none" }[head.getAttribute("aria-sort") || "none"];
    for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
    if (next !== "none") head.setAttribute("aria-sort", next);
    const column = head.cellIndex, text = row => row.cells[column].textContent, sign = next === "descending" ? -1 : 1;
    const number = listed.some(row => row.cells[column].classList.contains("n"));
    const compare = (a, b) => {
      if (number) {
        const [x, y] = [a, b].map(row => row.cells[column].classList.contains("n") ? Number(text(row)) : NaN);
        if (Number.isNaN(x) || Number.isNaN(y)) return Number.isNaN(x) - Number.isNaN(y);
        return (x - y) * sign;
      }
      if (!text(a) || !text(b)) return !text(a) - !text(b);
      return order.compare(text(a), text(b)) * sign;
    };
    body.append(...(next === "none" ? listed : [...listed].sort(compare)));
  }

  // ---- search ----
  const search = one("#search"), found = one("#found");
  let at = -1;
  function look() {
    const word = search.value.trim().toLocaleLowerCase("en");
    const rank = id => { const low = id.toLocaleLowerCase("en"); return low === word ? 0 : low.startsWith(word) ? 1 : low.includes(word) ? 2 : (about.get(id) || "").toLocaleLowerCase("en").includes(word) ? 3 : 9; };
    const hits = word ? ids.map(id => [rank(id), id]).filter(([r]) => r < 9).sort((a, b) => a[0] - b[0] || order.compare(a[1], b[1])).slice(0, 30).map(([, id]) => id) : [];
    found.replaceChildren(...hits.map((id, place) => {
      const item = make("li", { id: `found-${place}` }, make("b", { textContent: id }), about.get(id) || "");
      item.dataset.find = id;
      item.setAttribute("role", "option");
      item.addEventListener("pointerdown", event => { event.preventDefault(); choose(id); });
      return item;
    }));
    if (word && !hits.length) found.append(make("li", { textContent: "no id or name has this" }));
    found.hidden = !word;
    search.setAttribute("aria-expanded", String(Boolean(word)));
    mark(hits.length ? 0 : -1);
  }
  function mark(place) {
    at = place;
    all("[data-find]", found).forEach((item, number) => { item.setAttribute("aria-selected", String(number === place)); if (number === place) item.scrollIntoView({ block: "nearest" }); });
    search.setAttribute("aria-activedescendant", place < 0 ? "" : `found-${place}`);
  }
  function choose(id) {
    found.hidden = true;
    search.setAttribute("aria-expanded", "false");
    search.value = id;
    one("main").scrollIntoView({ block: "end" });
    pin(whole_of.get(id) || [id]);
  }
  search.addEventListener("input", look);
  search.addEventListener("focus", () => search.select());
  search.addEventListener("blur", () => { found.hidden = true; });
  search.addEventListener("keydown", event => {
    const hits = all("[data-find]", found), step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step && hits.length) mark((at + step + hits.length) % hits.length);
    else if (event.key === "Enter" && at >= 0 && !found.hidden) choose(hits[at].dataset.find);
    else return;
    event.preventDefault();
  });
})();
