using Spectre.Console;

namespace VibeCheck.Cli;

/// <summary>Runs work that may take long. After a second, and on a terminal only, a bar shows how far it is.</summary>
internal static class LongWork
{
    private const double AllRead = 99.9;
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(1);

    /// <param name="terminal">Where the bar is drawn: its error side.</param>
    /// <param name="title">What is being done, a few words.</param>
    /// <param name="work">The work; it reports its share done, 0 to 1.</param>
    internal static T Run<T>(Terminal terminal, string title, Func<IProgress<double>, T> work)
    {
        var share = new Share();
        if (!terminal.IsInteractive)
        {
            return work(share);
        }

        Task<T> task = Task.Run(() => work(share));
        if (Task.WhenAny(task, Task.Delay(_patience)).GetAwaiter().GetResult() != task)
        {
            Draw(terminal, title, task, share);
        }

        return task.GetAwaiter().GetResult();
    }

    private static void Draw(Terminal terminal, string title, Task task, Share share) =>
        terminal.ErrorConsole().Progress().AutoClear(true).Start(context =>
        {
            ProgressTask bar = context.AddTask(Markup.Escape(title));
            while (Task.WhenAny(task, Task.Delay(100)).GetAwaiter().GetResult() != task)
            {
                // Of several files each reports its own share; once all is read the rest takes a while that is not known.
                bar.Value = Math.Max(bar.Value, 100 * share.Latest);
                if (bar.Value >= AllRead && !bar.IsIndeterminate)
                {
                    (bar.Description, bar.IsIndeterminate) = ("Measuring", true);
                }
            }
        });

    private sealed class Share : IProgress<double>
    {
        private double _latest;

        internal double Latest => Volatile.Read(ref _latest);

        public void Report(double value) => Volatile.Write(ref _latest, value);
    }
}
