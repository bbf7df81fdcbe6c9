using VibeCheck.BenchSheet.Tests.Browser;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Tests;

/// <summary>Memory that is still in use after many answers. The test runs alone, because the heap is that of all tests in the
/// process.</summary>
[CollectionDefinition(nameof(MemoryTests), DisableParallelization = true)]
[Collection(nameof(MemoryTests))]
public sealed class MemoryTests
{
    // Every answer reads both flights again, because their files change each time, like those of twenty jobs.
    [Fact]
    [Trait("Category", "Slow")]
    public async Task Of_twenty_answers_only_the_last_stays_in_memory()
    {
        const int Answers = 20;

        // Samples and spectrograms of one answer to this job: two flights of 105 s at 500 Hz, seven columns of doubles, and the same number
        // of floats.
        const double AnswerMb = 2 * 105 * 500 * 7 * (8 + 4) / 1048576.0;
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        string[] logs = Directory.GetFiles(folder.Path, "imu.csv", SearchOption.AllDirectories);
        using Desk desk = new(new JobFolder(folder.Path));
        List<WeakReference> answers = [];
        List<double> heapMb = [];
        for (int i = 0; i < Answers; i++)
        {
            foreach (string log in logs)
            {
                File.SetLastWriteTimeUtc(log, DateTime.UnixEpoch.AddDays(20_000 + i));
            }

            answers.Add(await NextAnswerAsync(desk, answers.LastOrDefault()));
            heapMb.Add(GC.GetTotalMemory(forceFullCollection: true) / 1048576.0);
        }

        string heap = string.Join(" ", heapMb.Select(m => m.ToString("F1", System.Globalization.CultureInfo.InvariantCulture)));
        TestContext.Current.SendDiagnosticMessage($"heap in MB, answer by answer: {heap}; working set {Environment.WorkingSet >> 20} MB");
        Assert.All(answers.Take(Answers - 1), (answer, i) => Assert.False(answer.IsAlive, $"answer {i + 1} is still held"));

        // The memory of pooled buffers grows with the number of threads; half of the memory of all answers is more than that.
        Assert.True(heapMb[^1] - heapMb[0] < Answers * AnswerMb / 2, $"heap in MB, answer by answer: {heap}");
    }

    /// <summary>Looks at the folder again and waits for a new answer; holds neither this answer nor the one before in memory.</summary>
    private static async Task<WeakReference> NextAnswerAsync(Desk desk, WeakReference? before)
    {
        desk.Look();
        await Patience.UntilAsync(
            () =>
                desk.View.Answer is { Works: false, Result: not null } now
                && (before is null || !ReferenceEquals(now.Result, before.Target)),
            "a new answer"
        );
        Assert.NotNull(desk.View.Answer.Result);
        return new WeakReference(desk.View.Answer.Result);
    }
}
