import './server';
import './live.test';
import './moves.test';
import './parts.test.svelte';
import './plain.test';
