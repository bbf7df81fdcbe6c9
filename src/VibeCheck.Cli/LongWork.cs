using System.Globalization;
using Spectre.Console;
using VibeCheck.Core.Orders;

namespace VibeCheck.Cli;

/// <summary>Runs work that may take long. On a terminal, after one second, a progress bar shows the share read, then the number of windows
/// fitted.</summary>
internal static class LongWork
{
    private const double AllRead = 99.9;
    private const int BarWidth = 20;
    private static readonly TimeSpan _patience = TimeSpan.FromSeconds(1);

    /// <param name="terminal">The bar is drawn on its standard error.</param>
    /// <param name="title">What is being done, a few words.</param>
    /// <param name="work">The work; it reports the share read, 0 to 1, and what the order fit does.</param>
    internal static T Run<T>(Terminal terminal, string title, Func<IProgress<double>, IProgress<FitProgress>, T> work)
    {
        var share = new Share();
        if (!terminal.IsInteractive)
        {
            return work(share, share);
        }

        Task<T> task = Task.Run(() => work(share, share));
        if (Task.WhenAny(task, Task.Delay(_patience)).GetAwaiter().GetResult() != task)
        {
            Draw(terminal, title, task, share);
        }

        return task.GetAwaiter().GetResult();
    }

    private static void Draw(Terminal terminal, string title, Task task, Share share) =>
        terminal
            .ErrorConsole()
            .Progress()
            .AutoClear(true)
            .Columns(new TaskDescriptionColumn { Alignment = Justify.Left }, new ProgressBarColumn { Width = BarWidth })
            .Start(context =>
            {
                ProgressTask bar = context.AddTask(Markup.Escape(title));
                while (Task.WhenAny(task, Task.Delay(100)).GetAwaiter().GetResult() != task)
                {
                    // Each of several files reports its own share, so the bar shows the largest. The number of windows and passes of a fit
                    // is not known beforehand.
                    bar.Value = Math.Max(bar.Value, 100 * share.Latest);
                    bar.IsIndeterminate = bar.Value >= AllRead;
                    bar.Description = bar.IsIndeterminate
                        ? share.Fitting()
                        : Markup.Escape(string.Create(CultureInfo.InvariantCulture, $"{title}, {bar.Value:0} %"));
                }
            });

    private sealed class Share : IProgress<double>, IProgress<FitProgress>
    {
        private double _latest;
        private int _windows,
            _passes;

        internal double Latest => Volatile.Read(ref _latest);

        public void Report(double value) => Volatile.Write(ref _latest, value);

        public void Report(FitProgress value)
        {
            Interlocked.Add(ref _windows, value.Windows);
            Interlocked.Add(ref _passes, value.Passes);
        }

        internal string Fitting()
        {
            int windows = Volatile.Read(ref _windows),
                passes = Volatile.Read(ref _passes);
            return windows == 0
                ? "Measuring"
                : string.Create(
                    CultureInfo.InvariantCulture,
                    $"Measuring, {windows} windows fitted{(passes == 0 ? "" : $", {passes} passes")}"
                );
        }
    }
}
