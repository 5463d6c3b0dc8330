// Commands under node see the environment that node was started in.
Module['preRun'] = (Module['preRun'] || []).concat(() => { Object.assign(ENV, process.env); });
