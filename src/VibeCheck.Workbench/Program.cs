using VibeCheck.Workbench.Hosting;

return await WorkbenchProgram.RunAsync(args, Console.Out, Console.Error).ConfigureAwait(false);
