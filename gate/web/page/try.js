// What if: asks again when something is chosen, and swaps the drawing. The button does
// the same without this file.
(() => {
	const form = document.getElementById('try');
	let asked = null;
	const ask = async () => {
		if (asked) asked.abort();
		const mine = asked = new AbortController();
		const at = form.getAttribute('action').split('#')[0] + '?' + new URLSearchParams(new FormData(form));
		const out = document.getElementById('tried');
		out.setAttribute('aria-busy', 'true');
		try {
			const r = await fetch(at, {signal: mine.signal});
			const page = new DOMParser().parseFromString(await r.text(), 'text/html');
			const is = page.getElementById('tried');
			if (is) {
				out.replaceWith(is);
				history.replaceState(null, '', at);
				return;
			}
			out.textContent = (page.querySelector('main p') || page.body).textContent;
		} catch {
			if (mine.signal.aborted) return;
			out.textContent = 'No answer came. Press the button to ask again.';
		}
		out.removeAttribute('aria-busy');
	};
	form.addEventListener('change', ask);
	form.addEventListener('submit', (e) => { e.preventDefault(); ask(); });
})();
