import './server';
import './live.test';
import './moves.test';
import './plain.test';
