import { mount } from 'svelte';
import App from './App.svelte';
import './theme.css';

const target = document.getElementById('workspace');
if (!target) throw new Error('the page has no place for the workspace');
mount(App, { target });
