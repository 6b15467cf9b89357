// What the pages gain where there is script: they show what is new by themselves, say how old their numbers are and
// since when there is no connection, and keep what is pressed without one until it can be sent. Without this file
// everything works by loading pages.
"use strict";
(() => {
	const words = {
		justNow: "just now", minutes: n => n + " minutes ago", hours: n => n + " hours ago", days: n => n + " days ago",
		lost: t => "No connection since " + t + ". What is shown is as it was then; what you press is kept on this phone.",
		wait: (ticks, said) => [count(ticks, "tick"), count(said, "report")].filter(Boolean).join(" and ") + (ticks + said === 1 ? " waits" : " wait") + " to be sent.",
		memory: "This phone cannot keep that: leave this page open until it is sent.",
		signedOut: "This phone is signed out, so nothing is sent. ", signIn: "Sign in",
		waits: (what, t) => what + ", pressed at " + t + ". Waits to be sent.",
		answer: (what, t, say) => what + ", pressed at " + t + ": " + say,
		leaves: n => "What waits here (" + n + ") is lost when this phone signs out. Sign out all the same?",
		refused: "Not taken: ", seen: "I have seen that",
	};
	const count = (n, word) => n === 0 ? "" : n + " " + word + (n === 1 ? "" : "s");

	// The clock of the program, as far as it is known. A page may come out of a store of the browser, so until the
	// program is heard its stamp only moves the clock forward: then a number may look too old, never too fresh.
	let skew = 0;
	const now = () => Date.now() + skew;
	const heardClock = text => {
		const t = Date.parse(text);
		if (!Number.isNaN(t)) skew = t - Date.now();
	};
	const main = () => document.querySelector("main");
	const stamp = Date.parse(main()?.dataset.now || "");
	if (!Number.isNaN(stamp)) skew = Math.max(0, stamp - Date.now());
	const clock = ms => {
		const as = { hour: "numeric", minute: "2-digit" };
		try {
			return new Date(ms).toLocaleTimeString([], { ...as, timeZone: main()?.dataset.zone || undefined });
		} catch { // a zone that this phone does not know
			return new Date(ms).toLocaleTimeString([], as);
		}
	};

	// Ages.
	const ago = s => {
		if (s < 120) return words.justNow;
		if (s < 7200) return words.minutes(Math.floor(s / 60));
		if (s < 172800) return words.hours(Math.round(s / 3600));
		return words.days(Math.round(s / 86400));
	};
	const grow = () => {
		for (const e of document.querySelectorAll("time[data-old]")) {
			const s = (now() - Date.parse(e.dateTime)) / 1000;
			if (Number.isNaN(s)) continue;
			const text = ago(s);
			if (e.textContent !== text) e.textContent = text;
			e.classList.toggle("old", s > Number(e.dataset.old));
		}
	};
	setInterval(grow, 30000);

	// The line that says how the page and the program stand.
	const line = document.createElement("div");
	line.id = "line";
	line.setAttribute("role", "status");
	main()?.before(line);
	let lostAt = 0; // since when there is no connection, by the phone's clock; 0: there is one
	let signedOut = false;
	const say = (text, kind) => {
		const p = document.createElement("p");
		p.className = "notice " + kind;
		p.textContent = text;
		return p;
	};
	const status = () => {
		const parts = [];
		if (lostAt) parts.push(say(words.lost(clock(lostAt + skew)), "lost"));
		const waiting = queue.all();
		if (waiting.length && (lostAt || failures > 0 || signedOut)) {
			const ticks = waiting.filter(e => e.kind === "tick").length;
			const p = say(words.wait(ticks, waiting.length - ticks), "waiting");
			if (!queue.stored) p.textContent += " " + words.memory;
			parts.push(p);
		}
		if (signedOut) {
			const p = say(words.signedOut, "out");
			const a = document.createElement("a");
			a.className = "button";
			a.href = "/join";
			a.textContent = words.signIn;
			p.append(a);
			parts.push(p);
		}
		for (const a of answers) parts.push(answerLine(a));
		const same = parts.length === line.childElementCount && parts.every((p, i) => p.isEqualNode(line.children[i]));
		if (!same) line.replaceChildren(...parts); // a reader of screens hears only what is new
	};
	let heardAt = Date.now();
	const lost = () => {
		if (!lostAt) lostAt = heardAt;
		status();
	};
	const found = () => {
		heardAt = Date.now();
		lostAt = 0;
		status();
	};

	// The queue: in the store of the browser where it has one, else in this page. Another tab may share the store, so
	// it is read anew each time; whatever is sent twice the program takes once.
	const name = "coldnight-queue:" + (document.documentElement.dataset.me || "");
	const queue = {
		memory: [],
		stored: true,
		read() {
			try {
				const all = JSON.parse(localStorage.getItem(name) || "[]");
				return Array.isArray(all) ? all.filter(e => e && typeof e.id === "string") : [];
			} catch {
				return [];
			}
		},
		all() {
			const kept = this.read(), ids = new Set(kept.map(e => e.id));
			return kept.concat(this.memory.filter(e => !ids.has(e.id)));
		},
		write(all) {
			try {
				localStorage.setItem(name, JSON.stringify(all));
				this.memory = [];
				this.stored = true;
			} catch {
				this.memory = all;
				this.stored = false;
			}
		},
		add(e) { this.write(this.all().concat([e])); },
		drop(ids) { this.memory = this.memory.filter(e => !ids.has(e.id)); this.write(this.all().filter(e => !ids.has(e.id))); },
	};
	addEventListener("beforeunload", e => {
		if (!queue.stored && queue.all().length) e.preventDefault();
	});

	// What was answered, until somebody has read it.
	let answers = [];
	try {
		answers = JSON.parse(localStorage.getItem(name + ":answers") || "[]");
	} catch { /* no store: they are there as long as the page is */ }
	const answer = all => {
		answers = all;
		try {
			localStorage.setItem(name + ":answers", JSON.stringify(all));
		} catch { /* as above */ }
	};
	const answerLine = a => {
		const p = say((a.state === "refused" ? words.refused : "") + words.answer(a.label, a.clock, a.words), "answer");
		const b = document.createElement("button");
		b.type = "button";
		b.dataset.answer = a.id;
		b.textContent = words.seen;
		p.append(document.createElement("br"), b);
		return p;
	};

	const random = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), b => b.toString(16).padStart(2, "0")).join("");
	document.addEventListener("submit", e => {
		const form = e.target, button = e.submitter, kind = form.dataset.queue;
		if (!kind) return;
		e.preventDefault();
		const body = {};
		for (const [k, v] of new FormData(form)) if (typeof v === "string") body[k] = v;
		if (button?.name) body[button.name] = button.value;
		const job = form.closest("li[data-what]");
		if (job) {
			body.space = job.dataset.space;
			body.what = job.dataset.what;
		}
		const where = body.space || body.person || "";
		const label = (where ? where + ": " : "") + (button?.textContent || "").trim();
		if (kind === "tick" && queue.all().some(o => o.kind === kind && o.body.job === body.job && o.body.night === body.night && o.body.do === body.do && last(o))) return;
		queue.add({ id: random(), kind, at: new Date().toISOString(), body, label });
		mark();
		failures = 0;
		send();
	});
	// last tells that nothing later of the same job waits.
	const last = o => queue.all().filter(e => e.kind === o.kind && e.body.job === o.body.job && e.body.night === o.body.night).pop()?.id === o.id;
	document.addEventListener("click", e => {
		const b = e.target.closest("button[data-answer]");
		if (b) {
			answer(answers.filter(a => a.id !== b.dataset.answer));
			status();
			main()?.querySelector("h1")?.scrollIntoView({ block: "nearest" });
		}
		const a = e.target.closest("a[data-again]");
		if (a) {
			e.preventDefault();
			scrollTo(0, 0);
			refresh();
		}
	});

	// mark shows what waits at its job, as it was pressed.
	const mark = () => {
		for (const p of document.querySelectorAll("main p.waits")) p.remove();
		const at = new Map();
		for (const e of queue.all()) {
			const input = [...document.querySelectorAll("main form[data-queue] input[name=job]")].find(i => i.value === e.body.job && i.form.elements.night?.value === e.body.night);
			const li = input?.closest("li");
			if (!li) continue;
			const p = document.createElement("p");
			p.className = "waits";
			p.textContent = words.waits(e.label.slice(e.body.space && e.label.startsWith(e.body.space) ? e.body.space.length + 2 : 0), clock(Date.parse(e.at) + skew));
			li.querySelector("form").before(p);
			if (e.kind === "tick") at.set(li, e.body.do);
		}
		for (const [li, does] of at) turn(li, does);
		status();
	};
	// turn lets a job be taken back that waits as done, and the other way round.
	const turn = (li, does) => {
		const b = li.querySelector("form.tick[data-queue=tick] button[name=do]");
		if (!b || b.value !== does) return;
		const undo = does === "done";
		b.value = undo ? "undo" : "done";
		b.className = undo ? "undo" : "";
		b.textContent = undo ? "Not done after all" : "Done";
	};

	// Sending: the oldest first, one part at a time, again and again until the program has answered.
	let sending = false, failures = 0, timer = 0;
	const later = () => {
		clearTimeout(timer);
		timer = setTimeout(send, Math.min(60000, 2000 * 2 ** Math.min(failures, 5)) * (0.75 + Math.random() / 2));
	};
	const send = async () => {
		clearTimeout(timer);
		const part = queue.all().slice(0, 50);
		if (sending || !part.length) return;
		sending = true;
		let ok = false;
		try {
			const r = await fetch("/queue", {
				method: "POST", headers: { "Content-Type": "application/json" }, redirect: "error", signal: AbortSignal.timeout?.(15000),
				body: JSON.stringify({ sent: new Date().toISOString(), entries: part.map(({ id, kind, at, body }) => ({ id, kind, at, body })) }),
			});
			signedOut = r.status === 401;
			if (r.ok) {
				const got = await r.json();
				heardClock(got.now);
				const by = new Map(part.map(e => [e.id, e]));
				for (const a of got.answers) {
					const e = by.get(a.id);
					if (e && a.words) answer(answers.concat([{ id: a.id, state: a.state, words: a.words, label: e.label, clock: clock(Date.parse(e.at) + skew) }]));
				}
				queue.drop(new Set(got.answers.map(a => a.id)));
				ok = got.answers.length > 0;
			} else if (r.status === 403 || r.status === 400 || r.status === 413 || r.status === 415) {
				const say = new DOMParser().parseFromString(await r.text(), "text/html").querySelector("h1")?.textContent || String(r.status);
				answer(answers.concat(part.map(e => ({ id: e.id, state: "refused", words: say, label: e.label, clock: clock(Date.parse(e.at) + skew) }))));
				queue.drop(new Set(part.map(e => e.id)));
				ok = true;
			}
			found();
		} catch {
			lost();
		}
		sending = false;
		failures = ok ? 0 : failures + 1;
		status();
		if (ok) await refresh();
		if (queue.all().length) ok ? send() : later();
	};

	// The parts of the page that may change, fetched again and put in place of the old ones. What is open stays open,
	// and what was at the top of the window stays there.
	const parts = ["body > svg.defs", "body > main", "body > footer"];
	const path = d => {
		const up = d.parentElement.closest("[id]"), text = d.querySelector("summary")?.firstChild?.textContent.trim();
		const all = [...document.querySelectorAll("details")];
		return d.id || (up ? up.id : "") + "/" + (up?.querySelector("h3,b")?.textContent || "") + "/" + (d.closest("article")?.querySelector("h3")?.textContent || "") + "/" + (text || all.indexOf(d));
	};
	const typing = () => {
		const e = document.activeElement;
		return e && main()?.contains(e) && (e.tagName === "TEXTAREA" || e.tagName === "SELECT" || e.tagName === "INPUT" && e.value !== e.defaultValue);
	};
	const put = doc => {
		const open = new Map([...document.querySelectorAll("main details")].map(d => [path(d), d.open]));
		const typed = [...document.querySelectorAll("main input")].filter(i => i.value !== i.defaultValue && i.type !== "hidden").map(i => [i.form?.elements.job?.value, i.name, i.value]);
		const f = document.activeElement;
		const focus = f && main().contains(f) ? { tag: f.tagName, text: f.textContent, li: f.closest("li")?.id } : null;
		const far = e => Math.abs(e.getBoundingClientRect().top);
		const top = [...document.querySelectorAll("main [id]")].filter(e => !e.closest("svg") && e.getClientRects().length).reduce((a, b) => !a || far(b) < far(a) ? b : a, null);
		const id = top?.id, y = top?.getBoundingClientRect().top;
		for (const p of parts) {
			const was = document.querySelector(p), is = doc.querySelector(p);
			if (was && is && !was.isEqualNode(is)) was.replaceWith(document.adoptNode(is));
		}
		document.title = doc.title;
		for (const d of document.querySelectorAll("main details")) {
			const was = open.get(path(d));
			if (was !== undefined && d.open !== was) d.open = was;
		}
		for (const [job, field, value] of typed) {
			const i = [...document.querySelectorAll("main input")].find(i => i.name === field && i.form?.elements.job?.value === job);
			if (i) i.value = value;
		}
		if (focus?.li) {
			const all = [...(document.getElementById(focus.li)?.querySelectorAll("button,summary,input,a") || [])];
			(all.find(e => e.tagName === focus.tag && e.textContent === focus.text) || all[0])?.focus({ preventScroll: true });
		}
		if (id && document.getElementById(id)) scrollBy(0, document.getElementById(id).getBoundingClientRect().top - y);
		mark();
		grow();
	};
	let fetching = false, once = false;
	const refresh = async () => {
		if (main()?.dataset.version === undefined) return;
		if (typing()) {
			addEventListener("focusout", () => setTimeout(refresh, 200), { once: true });
			return;
		}
		if (fetching) {
			once = true;
			return;
		}
		fetching = true;
		try {
			const r = await fetch(location.pathname + location.search, { headers: { Accept: "text/html" }, cache: "no-store", signal: AbortSignal.timeout?.(20000) });
			if (new URL(r.url).pathname !== location.pathname) {
				signedOut = true;
			} else if (r.ok) {
				signedOut = false;
				const doc = new DOMParser().parseFromString(await r.text(), "text/html");
				if (doc.querySelector("main")?.dataset.version !== undefined) {
					heardClock(doc.querySelector("main").dataset.now);
					put(doc);
				}
			}
			found();
		} catch {
			lost();
		}
		fetching = false;
		if (once) {
			once = false;
			refresh();
		}
	};

	// The stream of news. A page that is not looked at needs none, and a browser opens only a few connections.
	let stream = null, tries = 0, quiet = 0, again = 0;
	const shut = () => {
		stream?.close();
		stream = null;
		clearTimeout(quiet);
		clearTimeout(again);
	};
	const listen = () => {
		shut();
		if (document.hidden || main()?.dataset.version === undefined) return;
		const s = new EventSource("/live?since=" + encodeURIComponent(main().dataset.version));
		stream = s;
		const alive = e => {
			tries = 0;
			clearTimeout(quiet);
			quiet = setTimeout(broken, 45000); // two beats and a bit
			try {
				heardClock(JSON.parse(e.data).now);
			} catch { /* not one of ours: it still shows that somebody is there */ }
			found();
			grow();
			if (queue.all().length && !sending) send();
		};
		s.addEventListener("beat", alive);
		s.addEventListener("news", e => {
			alive(e);
			refresh();
		});
		s.onerror = broken;
		quiet = setTimeout(broken, 45000);
	};
	const broken = () => {
		shut();
		if (document.hidden) return;
		tries++;
		if (!navigator.onLine) lost();
		else if (tries > 1) refresh(); // it may be the stream alone that is refused
		again = setTimeout(listen, Math.min(60000, 1000 * 2 ** Math.min(tries, 6)) * (0.75 + Math.random() / 2));
	};
	document.addEventListener("visibilitychange", () => {
		grow();
		document.hidden ? shut() : listen();
	});
	addEventListener("pageshow", e => { if (e.persisted) listen(); });
	addEventListener("pagehide", shut);
	addEventListener("offline", () => { shut(); lost(); });
	addEventListener("online", () => { tries = 0; failures = 0; listen(); send(); });

	// By https the page of tonight is kept for the far house.
	const helper = location.protocol === "https:" && navigator.serviceWorker;
	if (helper) {
		helper.register("/service.js").catch(() => { /* without it pages load as ever */ });
		helper.ready.then(r => {
			const files = [...document.querySelectorAll("link[rel=stylesheet]")].map(l => l.href).concat([...document.scripts].map(s => s.src));
			r.active?.postMessage({ keep: lostAt ? [] : ["/"].concat(files) });
		});
	}
	document.addEventListener("submit", e => {
		if (new URL(e.target.action).pathname !== "/sign-out") return;
		const n = queue.all().length;
		if (n && !confirm(words.leaves(n))) return e.preventDefault();
		helper?.controller?.postMessage("drop");
	});

	mark();
	grow();
	if (main()?.dataset.kept !== undefined) {
		if (!Number.isNaN(stamp)) heardAt = stamp - skew;
		lost();
	}
	listen();
	send();
})();
